package wiring

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func contactorBypassed() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-bypassed",
		Family: family,
		Title:  "a contactor is bypassed by something other than its pre-charge",
		Why: "A conductor, switch, diode or resistor round the contactor keeps the controller supplied when the contactor is open: " +
			"the vehicle cannot be switched off, and nobody notices before the day it must be.",
		Relation: "every path round the open contact goes through a resistor of role precharge with V_max/R <= policy.precharge_bypass_A, or through another contactor",
		Source:   "circuit theory; the pre-charge exception is common practice",
		Level:    rules.Error,
		Policy:   []string{"policy.precharge_bypass_A"},
		Fix:      "take the path away; if it is the pre-charge, declare the resistor's role precharge and let it pass at most policy.precharge_bypass_A at the full voltage, or put a relay in series with it",
		Example: rules.Example{Vehicle: "mole", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "resistors.soft.role", Value: `"load"`}}},
		Check: func(p *rules.Pass) { checkBypass(p, circuit.Positive) },
	}
}

// checkBypass looks for a way round every contactor on one side of its source.
func checkBypass(p *rules.Pass, side circuit.Side) {
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		e := p.Circuit.Edge(id + ".contact")
		source, on, ok := sourceOf(p.Circuit, e)
		if k.Spare || !ok || on != side {
			continue
		}
		c := p.Subject(id, k.Path())
		if p.Unsound(c, id+".a", id+".b") {
			continue
		}
		judgeBypass(c, p, source, p.Circuit.Bypass(e.ID))
	}
}

// judgeBypass gives the verdict on a path round a contact.
func judgeBypass(c *rules.Check, p *rules.Pass, source circuit.Source, path []*circuit.Edge) {
	if path == nil {
		c.Holds(true, "nothing leads round the open contact")
		return
	}
	way := describe(path)
	resistor, controlled, blocking := "", false, 0
	for _, e := range path {
		switch e.Kind {
		case circuit.ContactEdge:
			controlled = true
		case circuit.MeterEdge, circuit.EnableEdge:
			blocking++ // a measuring input lets next to nothing through
		case circuit.ResistorEdge:
			resistor = e.Part
		}
	}
	switch r := p.Spec.Resistors[resistor]; {
	case blocking > 0:
		c.Holds(true, "only a measuring input leads round the open contact: %s", way)
	case r == nil && controlled:
		c.Holds(true, "the way round the contact has a contactor or relay of its own: %s", way)
	case r == nil:
		c.Fail("the open contact is bypassed by %s", way)
	case r.Role != "precharge":
		c.Related(r.Path()+".role", "the resistor in the path")
		c.Fail("the open contact is bypassed by %s; the role of %s is %q, not precharge", way, resistor, r.Role)
	default:
		v := demand.StringVoltage(c.Working, p.Circuit, source)
		ohm := c.Given("R", "resistance of "+resistor, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
		i := c.Calc("I", "current round the contact", "V_max / R", rules.Term(v)+" / "+rules.Term(ohm), v/ohm, "A")
		limit := c.Default("I_bypass", "most that a pre-charge may pass", p.Spec.Policy.PrechargeBypassA, "A", "policy.precharge_bypass_A")
		if i > limit {
			c.Fail("the pre-charge path %s passes %s A round the open contact, more than %s A", way, rules.Figure(i), rules.Figure(limit))
			return
		}
		c.Holds(true, "only the pre-charge leads round the open contact: %s, at most %s A", way, rules.Figure(i))
	}
}

// describe names the parts along a path, leaving out what a reader can do without.
func describe(path []*circuit.Edge) string {
	var names []string
	for _, e := range path {
		if n := len(names); n == 0 || names[n-1] != e.Part {
			names = append(names, e.Part)
		}
	}
	return strings.Join(names, " - ")
}

// sourceOf returns the battery whose pole an edge is tied to over metal, and
// which pole.
func sourceOf(n *circuit.Network, e *circuit.Edge) (circuit.Source, circuit.Side, bool) {
	for _, s := range n.Sources() {
		if !s.IsBattery() {
			continue
		}
		// Only one end needs to be tied to the pole: the contact is what
		// separates the other.
		for _, end := range []circuit.Node{e.From, e.To} {
			if n.MetalJoins(s.Pos, end) {
				return s, circuit.Positive, true
			}
			if n.MetalJoins(s.Neg, end) {
				return s, circuit.Negative, true
			}
		}
	}
	return circuit.Source{}, "", false
}
