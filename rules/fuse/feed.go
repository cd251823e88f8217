package fuse

import (
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// feeding finds the fuses through which a source feeds some nodes, the nearest
// on each way. Where there are several side by side, none alone breaks the
// loop, but together they bound the current. It reports false if a way holds no
// fuse.
func (s *supply) feeding(source circuit.Source, side circuit.Side, nodes ...circuit.Node) (fuses []string, fused bool) {
	key := feedKey{source: source.ID, side: side, zones: s.zonesOf(nodes)}
	known, ok := s.fed[key]
	if !ok {
		known.fuses, known.fused = s.findFeeding(source, side, nodes)
		s.fed[key] = known
	}
	return known.fuses, known.fused
}

// feedKey is what an answer of feeding depends on. Of the nodes only their zones
// matter, which are as many as there are fuses and not as there are conductors.
type feedKey struct {
	source string
	side   circuit.Side
	zones  string
}

type fedThrough struct {
	fuses []string
	fused bool
}

// zonesOf names the zones of some nodes.
func (s *supply) zonesOf(nodes []circuit.Node) string {
	zones := make([]int, len(nodes))
	for i, v := range nodes {
		zones[i] = s.zones[v]
	}
	slices.Sort(zones)
	return fmt.Sprint(slices.Compact(zones))
}

// findZones numbers the parts of a network that fuses, diodes, resistors and
// sources separate: by node.
func findZones(c *circuit.Network) []int {
	zones := make([]int, c.Nodes())
	last := 0
	for v := range zones {
		if zones[v] != 0 {
			continue
		}
		last++
		zones[v] = last
		for queue := []circuit.Node{circuit.Node(v)}; len(queue) > 0; queue = queue[1:] {
			for _, e := range c.EdgesAt(queue[0]) {
				if next := e.Other(queue[0]); e.Kind != circuit.FuseEdge && e.Conducts() && zones[next] == 0 {
					zones[next] = last
					queue = append(queue, next)
				}
			}
		}
	}
	return zones
}

func (s *supply) findFeeding(source circuit.Source, side circuit.Side, nodes []circuit.Node) (fuses []string, fused bool) {
	root := source.Pos
	if side == circuit.Negative {
		root = source.Neg
	}
	inside, met := s.walkBack(source, side, nodes, nil)
	if inside[root] {
		return nil, false
	}
	for id, far := range met {
		if inside[far] {
			continue // bypassed
		}
		beyond, _ := s.walkBack(source, side, []circuit.Node{far}, func(e *circuit.Edge) bool {
			_, barred := met[e.Part]
			return e.Kind == circuit.FuseEdge && !barred
		})
		if beyond[root] {
			fuses = append(fuses, id)
		}
	}
	slices.Sort(fuses)
	return fuses, true
}

// walkBack walks from nodes towards a source, against the current, and stops at
// fuses but those that pass allows. It returns the nodes that it reaches and the
// fuses that stopped it, with the terminal beyond each.
func (s *supply) walkBack(source circuit.Source, side circuit.Side, from []circuit.Node, pass func(*circuit.Edge) bool) (map[circuit.Node]bool, map[string]circuit.Node) {
	reached, met := map[circuit.Node]bool{}, map[string]circuit.Node{}
	queue := slices.Clone(from)
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		if reached[v] {
			continue
		}
		reached[v] = true
		for _, e := range s.Circuit.EdgesAt(v) {
			switch {
			case e.Kind == circuit.FuseEdge && (pass == nil || !pass(e)):
				met[e.Part] = e.Other(v)
			case s.flowsTo(source, side, e, v):
				queue = append(queue, e.Other(v))
			}
		}
	}
	return reached, met
}

// flowsTo reports whether a source's fault current can flow through an edge to
// a node.
func (s *supply) flowsTo(source circuit.Source, side circuit.Side, e *circuit.Edge, v circuit.Node) bool {
	switch e.Kind {
	case circuit.DiodeEdge:
		return (v == e.To) == (side == circuit.Positive)
	case circuit.ResistorEdge:
		r := s.Spec.Resistors[e.Part]
		return r != nil && source.StringV/r.ResistanceOhm > s.Spec.Policy.PrechargeBypassA
	case circuit.BatteryEdge:
		return e.Part != source.ID && (v == e.From) == (side == circuit.Positive)
	}
	return e.Conducts()
}

// sideBySide lists the fuses through which a loop is fed, if there are several
// and none alone breaks it nearer than the given one.
func (s *supply) sideBySide(l loop, fuse string) []string {
	var fuses []string
	var fused bool
	if l.Side == circuit.Positive {
		fuses, fused = s.feeding(l.Source, circuit.Positive, l.Near, l.Far)
	} else {
		fuses, fused = s.feeding(l.Source, circuit.Positive, l.back...)
	}
	if !fused || len(fuses) < 2 || slices.Contains(fuses, fuse) {
		return nil
	}
	return fuses
}

// divided gives the verdict on a short circuit that several fuses share.
func divided(c *rules.Check, id string, fuses []string) {
	c.NotChecked("a single feed of "+id, "%s is fed through %s side by side; how a short circuit divides between them is not reckoned",
		id, strings.Join(fuses, " and "))
}
