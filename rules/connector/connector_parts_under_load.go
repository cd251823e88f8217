package connector

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func partsUnderLoad() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-parts-under-load",
		Family: family,
		Title:  "a connector can be pulled while a current flows that it cannot interrupt",
		Why: "Contacts that part slowly by hand draw an arc which a battery feeds until the gap is wide. It burns the fingers that hold the plug and the surface of " +
			"the contacts, which run hot from then on.",
		Relation: "a battery plug or charging inlet either interrupts the greatest current of any mode at the highest working voltage (breaks), or its pilot contacts make that current nothing " +
			"before it parts, or it takes a tool; one between modules has at least a latch up to 60 V",
		Source:   "IEC 61984 (connectors with and without breaking capacity; a connector without one is not to be parted under load)",
		Level:    rules.Error,
		Varies:   "warning for charging inlets, and where a disconnect in its circuit takes the load off first",
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

func (k plug) evalParts(c *rules.Check, p *rules.Pass, worst demand.Use, v float64) {
	c.In(worst.Mode.ID, worst.At.String())
	if limited, off := k.pilotTakesLoad(c, p); off {
		c.Related(k.Path()+".pilot", "its pilot contacts")
		c.Holds(true, "%s: its pilot contacts take the load off before it parts", k.ID)
		return
	} else if limited {
		return
	}
	if k.Breaks == nil {
		c.NotChecked(k.Path()+".breaks", "%s: whether it may be parted under load is not given; it carries %s A in mode %s", k.ID, rules.Figure(worst.A), worst.Mode.ID)
		return
	}
	if k.Use == "inlet" || k.behindDisconnect(p) {
		c.Level(rules.Warning)
	}
	i := c.Solved("I", "greatest current of "+k.ID, worst.A, "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	limit, which := capacity.Breaks(k.Breaks, v)
	if which < 0 {
		if contact, _ := k.contact(k.power[0]); contact.RatedVdc.Known && contact.RatedVdc.Value < v {
			c.Because("connector-voltage-low", k.ID)
		}
		c.Fail("%s can be pulled at %s A and %s V (mode %s); it has no breaking capacity for that, and no pilot contact takes the load off", k.ID,
			rules.Figure(i), rules.Figure(v), worst.Mode.ID)
		return
	}
	c.Given("I_b", "current that it interrupts at that voltage", limit, "A", k.Path()+".breaks")
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s can be pulled at %s A and %s V (mode %s), it interrupts %s A", k.ID,
		rules.Figure(i), rules.Figure(v), worst.Mode.ID, rules.Figure(limit))
}

// pilotTakesLoad reports whether no current is left in any mode once the pilot contacts
// have parted. It reports the check as not made, and so, where that is not known.
func (k plug) pilotTakesLoad(c *rules.Check, p *rules.Pass) (reported, off bool) {
	if len(k.pilot) == 0 {
		return false, false
	}
	for _, mode := range p.Circuit.States() {
		at := demand.Empty(mode)
		at.Open = strings.Join(k.pilot.IDs(), " ")
		s := p.Circuit.Solve(at)
		if c.Unsettled(s, k.power.IDs()...) {
			return true, false
		}
		for _, e := range k.power {
			if i := s.CurrentAt(e); i > demand.LeastA || i < -demand.LeastA {
				return false, false
			}
		}
	}
	return false, true
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
	for _, e := range k.power {
		for _, s := range p.Circuit.Strings() {
			// Of a disconnect of one pole the contact of the other stays joined to the battery.
			if p.Circuit.Reaches(e.From, s.Pos(), left) && p.Circuit.Reaches(e.To, s.Pos(), left) && len(k.power) == 1 {
				return false
			}
		}
	}
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
