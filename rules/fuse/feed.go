package fuse

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// parallelFuses lists the fuses through which a loop is fed, if there are several
// and none alone breaks it nearer than the given one.
func (s *supply) parallelFuses(l loop, fuse string) []string {
	var fuses []string
	var fused bool
	if l.Side == circuit.Positive {
		fuses, fused = s.feeding.Fuses(l.Source, circuit.Positive, l.Near, l.Far)
	} else {
		fuses, fused = s.feeding.Fuses(l.Source, circuit.Positive, l.back...)
	}
	if !fused || len(fuses) < 2 || slices.Contains(fuses, fuse) {
		return nil
	}
	return fuses
}

// divided gives the verdict on a short circuit that several fuses share.
func divided(c *rules.Check, id string, fuses []string) {
	c.NotChecked("one fuse in place of "+rules.And(fuses)+" in parallel", "%s is fed through %s in parallel; how much of a short circuit each of them carries is not computed",
		id, rules.And(fuses))
}
