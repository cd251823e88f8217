package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func breakerReversed() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-reversed",
		Family: family,
		Title:  "current flows through a polarized circuit breaker the wrong way",
		Why: "A permanent magnet blows the arc into the chamber for a current from a to b, and out of it, into the mechanism, for one from b to a. Opened while the motor brakes " +
			"or the charger is on, the breaker burns.",
		Relation: "polarized: no current from b to a in any mode, driving, braking and charging",
		Source:   "physics of the arc blown out by a permanent magnet; data sheets",
		Level:    rules.Error,
		Vital:    []string{"breakers.polarized", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "exchange the conductors at a and b; where the current flows both ways use a breaker that is not polarized",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.polarized", Value: "true"}}},
		Check: eachBreaker(evalBreakerReversed),
	}
}

func evalBreakerReversed(s *supply, c *rules.Check, d breaker) {
	if d.Polarized != nil && !*d.Polarized {
		c.Holds(true, "%s interrupts in both directions", d.ID)
		return
	}
	var forward, back demand.Use
	for _, e := range d.poles {
		uses, ok := demand.For(s.Pass).Known(c, d.ID, demand.Element{e})
		if !ok {
			return
		}
		for _, u := range uses {
			most := &forward
			if u.Against {
				most = &back
			}
			if u.A > max(most.A, demand.LeastA) {
				*most = u
			}
		}
	}
	switch {
	case back.A == 0:
		c.Holds(true, "%s: no current from b to a in any mode", d.ID)
	case d.Polarized == nil:
		c.NotChecked(d.field("polarized"), "%s: %s A from b to a in mode %s; whether it interrupts in one direction only is not stated", d.ID, rules.Figure(back.A), back.ModeID())
	default:
		c.In(back.ModeID(), back.At.String())
		c.Solved("I", "greatest current of "+back.Edge.ID+" from b to a", back.A, "A", "over all modes, "+back.At.String())
		if forward.A == 0 {
			c.Fix("exchange the conductors at a and b of %s", d.ID)
		} else {
			c.Fix("use a breaker that is not polarized: the current flows both ways, %s A from a to b as well", rules.Figure(forward.A))
		}
		c.Fail("%s: %s A from b to a in mode %s, it interrupts only from a to b", d.ID, rules.Figure(back.A), back.ModeID())
	}
}
