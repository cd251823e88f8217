package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func breakerTripsInUse() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-trips-in-use",
		Family: family,
		Title:  "the magnet of a circuit breaker trips in normal use",
		Why: "The magnet is faster than any rush of current: a motor that starts, a controller at its peak, or capacitors that are charged without a resistor trip it each time. " +
			"A drive that goes out on the hill for that is a danger of its own.",
		Relation: "every peak through it, of the modes, of controllers at their limit, of motors that start and of empty capacitors that it closes on, < instant.min I_n, times sqrt(2) where the multiple is stated for AC",
		Source:   "circuit theory: the magnet answers to the peak, multiples for AC are rms values; bands B, C, D of IEC 60898-1",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"breakers.instant", "controllers.capacitance_uF"},
		Fix:      "use a breaker of a slower letter or a larger rating with conductors that suit it, or pre-charge what is behind it",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.rated_A", Value: "2"},
			{Path: "breakers.solar_breaker.instant", Value: `{"min": 1, "max": 2, "stated_for": "dc"}`}}},
		Check: eachBreaker(evalTripsInUse),
	}
}

func evalTripsInUse(s *supply, c *rules.Check, d breaker) {
	if s.inPhase(c, s.fuseOf(d.ID)) {
		return
	}
	list, unsettled := s.stresses(s.fuseOf(d.ID))
	switch {
	case unsettled != nil:
		c.Unsettled(unsettled, d.ID)
		return
	case d.Instant == nil && d.BreakerKind == "thermal":
		c.Holds(true, "%s has no magnet that could trip it at once", d.ID)
		return
	case d.Instant == nil:
		c.NotChecked(d.field("instant"), "%s: at which current it trips at once is not declared", d.ID)
		return
	}
	var worst stress
	for _, x := range list {
		if x.amperes > worst.amperes {
			worst = x
		}
	}
	what := worst.what
	if onto := s.closesOn(d); onto != nil {
		peak, ok := charging.Onto(s.Pass, onto.loop, onto.of).Inrush(c, s.Pass)
		switch {
		case !ok:
			return
		case peak > worst.amperes:
			worst, what = stress{amperes: peak}, "into the empty capacitors of "+onto.of.Part
		}
	}
	if what == "" {
		what = "in any mode"
	}
	c.In(worst.mode, "")
	n := c.Given("I_n", "rated current of "+d.ID, d.RatedA, "A", d.field("rated_A"))
	m := c.Given("m", "multiple below which its magnet never trips", d.Instant.Min, "", d.field("instant.min"))
	from, _ := circuit.InstantA(d.Breaker)
	if d.Instant.StatedFor == "dc" {
		c.Calc("I_i", "least current at which it may trip at once", "m I_n", rules.Term(m)+" * "+rules.Term(n), from, "A")
	} else {
		c.Calc("I_i", "least direct current at which it may trip at once: the multiple is an rms value of AC", "sqrt(2) m I_n", "sqrt(2) * "+rules.Term(m)+" * "+rules.Term(n), from, "A")
	}
	i := c.Solved("I", "greatest current "+what, worst.amperes, "A", "over the modes, the limits of controllers, starting motors and empty capacitors")
	c.Fix("use a breaker whose magnet does not trip below %s A", rules.Figure(rules.RoundUp(i, math.Pow(10, math.Floor(math.Log10(max(i, 1)))-1))))
	c.AtMost(rules.Amperes(i), rules.Amperes(from), "%s: %s A %s, its magnet may trip from %s A", d.ID, rules.Figure(i), what, rules.Figure(from))
}

// capacitors are those of a controller or converter that a breaker closes on empty.
type capacitors struct {
	of   *circuit.Edge
	loop circuit.Loop
}

// closesOn is the controller or converter on whose capacitors the breaker closes with no
// contactor between, nil if there is none: the one of least resistance.
func (s *supply) closesOn(d breaker) (best *capacitors) {
	own := demand.Element(d.poles)
	hand := func(e *circuit.Edge) bool { return e.Kind != circuit.ContactEdge }
	by := func(e *circuit.Edge) bool { return e.Kind == circuit.SwitchEdge }
	for _, of := range s.buffered() {
		first, ok := s.Circuit.BlockingContacts(of, own.Has, by, hand)
		if !ok {
			continue
		}
		loop, _ := s.Circuit.LoopTo(of, func(e *circuit.Edge) bool {
			for _, x := range first {
				if x == e {
					return false
				}
			}
			return hand(e)
		})
		if best == nil || loop.Ohm < best.loop.Ohm {
			best = &capacitors{of, loop}
		}
	}
	return best
}

// buffered lists the controllers and converter inputs with capacitors that nothing of their
// own charges slowly.
func (s *supply) buffered() (out []*circuit.Edge) {
	for id, k := range schema.Sorted(s.Spec.Controllers) {
		if !k.Spare && !k.InternalPrecharge && k.CapacitanceUF.Known {
			out = append(out, s.Circuit.Edge(id))
		}
	}
	for id, k := range schema.Sorted(s.Spec.Converters) {
		if !k.Spare && k.Input.CapacitanceUF.Known {
			out = append(out, s.Circuit.Edge(id+".in"))
		}
	}
	return out
}
