package connector

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func partsUnderLoad() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-parts-under-load",
		Family: family,
		Title:  "a connector can be pulled while a current flows that it cannot interrupt",
		Why: "Contacts that part slowly by hand draw an arc which a battery feeds until the gap is wide. It burns the fingers that hold the plug and the surface of " +
			"the contacts, which run hot from then on.",
		Relation: "a battery plug or charging inlet takes a tool, or what it may be parted at is interrupted: the greatest current of any mode, or with pilot contacts what these leave of it " +
			"once they have opened what they open (a contactor, a relay, an enable input, without which a controller draws nothing), <= breaks at the highest working voltage; where pilot contacts " +
			"leave no more than 1 A no breaking capacity is asked for. One between modules has at least a latch up to 60 V",
		Source:   "IEC 61984 (connectors with and without breaking capacity; a connector without one is not to be parted under load); 1 A, which draws no arc that lasts, from common practice",
		Level:    rules.Error,
		Varies:   "warning where a disconnect in its circuit can take the load off first and the lock is not none; not for charging inlets, which are pulled daily",
		Required: 1,
		Vital:    []string{"connectors.breaks", "connectors.lock"},
		Fix:      "lead the coil of the contactor through short pilot contacts of the connector, or use one with breaking capacity, or one that a tool opens",
		Example: rules.Example{Vehicle: "mole", Subject: "inlet", Edits: []rules.Edit{
			{Path: "connectors.inlet.breaks", Value: `"none"`}}},
		Check: checkParts,
	}
}

func checkParts(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		uses, ok := demand.For(p).Known(c, k.ID, k.power)
		if !ok {
			return
		}
		worst := demand.Greatest(uses)
		v, found, _ := k.workingV(c, p)
		switch {
		case worst.A <= demand.LeastA || !found:
			c.Holds(true, "%s carries no current in any mode", k.ID)
		case k.Lock == "tool":
			c.Holds(true, "%s is opened with a tool", k.ID)
		case !k.heavy() && k.Lock == "latch" && v <= calc.ClassALimitV:
			c.Holds(true, "%s is latched between modules, and not pulled in use", k.ID)
		default:
			k.evalParts(c, p, worst, v)
		}
	})
}

// noArcA is the current in A that contacts of any kind part without an arc that lasts.
// Source: common practice.
const noArcA = 1

func (k plug) evalParts(c *rules.Check, p *rules.Pass, worst demand.Use, v float64) {
	left, which := worst, "greatest current of "+k.ID
	if len(k.pilot) > 0 {
		var ok bool
		if left, ok = k.residual(c, p); !ok {
			return
		}
		which = "what its pilot contacts leave of the current of " + k.ID
		c.Related(k.Path()+".pilot", "its pilot contacts")
	}
	c.In(left.Mode.ID, left.At.String())
	limit, rating := capacity.Breaks(k.Breaks, v)
	switch {
	case len(k.pilot) > 0 && rating < 0 && left.A <= demand.LeastA:
		c.Holds(true, "%s: its pilot contacts take the load off before it parts", k.ID)
		return
	case len(k.pilot) > 0 && (rating < 0 || limit < noArcA) && left.A <= noArcA:
		i := c.Solved("I", which, left.A, "A", "mode "+left.Mode.ID+", "+left.At.String())
		most := c.Default("I_0", "current that draws no arc that lasts", noArcA, "A", "common practice")
		c.AtMost(rules.Amperes(i), rules.Amperes(most), "%s: its pilot contacts take the load off before it parts but for %s A, and up to %s A draw no arc that lasts", k.ID, rules.Figure(i), rules.Figure(most))
		return
	case k.Breaks == nil:
		c.NotChecked(k.Path()+".breaks", "%s: whether it may be parted under load is not given; it can be pulled at %s A in mode %s", k.ID, rules.Figure(left.A), left.Mode.ID)
		return
	}
	if k.Use != "inlet" && k.Lock != "none" && k.behindDisconnect(p) {
		c.Level(rules.Warning)
	}
	i := c.Solved("I", which, left.A, "A", "mode "+left.Mode.ID+", "+left.At.String())
	pilot := "no pilot contact takes the load off"
	if len(k.pilot) > 0 {
		pilot = "its pilot contacts leave that much"
	}
	if rating < 0 {
		if contact, _ := k.contact(k.power[0]); contact.RatedVdc.Known && contact.RatedVdc.Value < v {
			c.Because("connector-voltage-low", k.ID)
		}
		c.Fail("%s can be pulled at %s A and %s V (mode %s); it has no breaking capacity for that, and %s", k.ID,
			rules.Figure(i), rules.Figure(v), left.Mode.ID, pilot)
		return
	}
	c.Given("I_b", "current that it interrupts at that voltage", limit, "A", k.Path()+".breaks")
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s can be pulled at %s A and %s V (mode %s), it interrupts %s A", k.ID,
		rules.Figure(i), rules.Figure(v), left.Mode.ID, rules.Figure(limit))
}

// residual is the greatest current that is left in any mode once the pilot contacts have
// parted and what they open has opened. It reports the check as not made where that is not known.
func (k plug) residual(c *rules.Check, p *rules.Pass) (most demand.Use, ok bool) {
	for _, mode := range p.Circuit.States() {
		for _, at := range []circuit.Case{demand.Empty(mode), demand.Full(mode)} {
			at.Open = strings.Join(k.pilot.IDs(), " ")
			s := p.Circuit.Solve(at)
			var off []string
			for id := range schema.Sorted(p.Spec.Controllers) {
				if disabled(s, p, id) {
					off = append(off, id)
				}
			}
			s = p.Circuit.Solve(at.Off(off...))
			if c.Unsettled(s, k.power.IDs()...) {
				return most, false
			}
			for _, e := range k.power {
				if i := math.Abs(s.CurrentAt(e)); most.Mode == nil || i > most.A {
					most = demand.Use{Mode: p.Circuit.Mode(mode), At: at, A: i}
				}
			}
		}
	}
	return most, true
}

// disabled reports whether the enable input of a controller is wired and has no voltage.
func disabled(s *circuit.Solution, p *rules.Pass, id string) bool {
	const leastV = 1 // V: what leaks is less
	v, ok := s.Across(id+".enable", id+".neg")
	return p.Circuit.Connected(id+".enable") && !(ok && v > leastV)
}

// behindDisconnect reports whether opening all disconnects takes the current off.
func (k plug) behindDisconnect(p *rules.Pass) bool {
	var open []*circuit.Edge
	for _, e := range p.Circuit.Edges {
		if p.Spec.Disconnects[e.Part] != nil {
			open = append(open, e)
		}
	}
	if len(open) == 0 {
		return false
	}
	left := circuit.Without(circuit.AllClosed, open...)
	for _, s := range p.Circuit.Strings() {
		for _, e := range p.Circuit.Edges {
			consumer := e.Kind == circuit.ControllerEdge || e.Kind == circuit.ConverterInput
			if consumer && p.Circuit.Reaches(s.Pos(), e.From, left) && p.Circuit.Reaches(s.Neg(), e.To, left) && s[0].Role == "traction" {
				return false
			}
		}
	}
	return true
}
