package wiring

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func contactorBypassed() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-bypassed",
		Family: family,
		Title:  "a contactor is bypassed by something other than its pre-charge",
		Why: "A conductor, switch, diode or resistor around the contactor keeps the controller supplied while the contactor is open: " +
			"the vehicle cannot be switched off, and nobody notices until the day it has to be.",
		Relation: "every path around the open contact goes through a resistor of role precharge with V_max/R <= policy.precharge_bypass_A, or through another contactor or a relay",
		Source:   "circuit theory; the pre-charge exception is common practice",
		Level:    rules.Error,
		Policy:   []string{"policy.precharge_bypass_A"},
		Fix:      "remove the path; if it is the pre-charge, set the role of the resistor to precharge and choose a resistance that passes at most policy.precharge_bypass_A at full voltage, or fit a relay in series with it that opens with the key",
		Example: rules.Example{Vehicle: "mole", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "resistors.soft.role", Value: `"load"`}}},
		Check: func(p *rules.Pass) { checkBypass(p, circuit.Positive) },
	}
}

// checkBypass looks for a path around every contactor on one side of its source.
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
		evalBypass(c, p, id, source, p.Circuit.Bypass(e.ID))
	}
}

// evalBypass gives the verdict on a path around the contact of a contactor.
func evalBypass(c *rules.Check, p *rules.Pass, id string, source circuit.Source, path []*circuit.Edge) {
	if path == nil {
		c.Holds(true, "%s has no path around its open contact", id)
		return
	}
	way := describe(path)
	resistor, controlled, blocking := "", false, 0
	for _, e := range path {
		switch e.Kind {
		case circuit.ContactEdge:
			controlled = true
		case circuit.MeterEdge, circuit.EnableEdge:
			blocking++ // a measuring input passes next to nothing
		case circuit.ResistorEdge:
			resistor = e.Part
		}
	}
	switch r := p.Spec.Resistors[resistor]; {
	case blocking > 0:
		c.Holds(true, "%s is bypassed only by a measuring input: %s", id, way)
	case r == nil && controlled:
		c.Holds(true, "%s is bypassed only through another contactor or relay: %s", id, way)
	case r == nil:
		c.Fail("%s is bypassed by %s", id, way)
	case controlled && r.Role == "precharge":
		c.Holds(true, "%s is bypassed by its pre-charge only through another contactor or relay: %s", id, way)
	case r.Role != "precharge":
		c.Related(r.Path()+".role", "the resistor in the path")
		c.Fail("%s is bypassed by %s; the role of %s is %q, not precharge", id, way, resistor, r.Role)
	default:
		v := demand.StringVoltage(c.Working, p.Circuit, source)
		ohm := c.Given("R", "resistance of "+resistor, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
		i := c.Line("I", "current around the contact", calc.OhmicCurrent("V_max", v, ohm))
		limit := c.Default("I_bypass", "greatest current allowed through a pre-charge", p.Spec.Policy.PrechargeBypassA, "A", "policy.precharge_bypass_A")
		if i > limit {
			c.Fix("%s", resize(p, id, r, v))
			c.Fail("%s is bypassed by its pre-charge %s: %s A, allowed %s A", id, way, rules.Figure(i), rules.Figure(limit))
			return
		}
		c.Holds(true, "%s is bypassed only by its pre-charge %s: %s A, allowed %s A", id, way, rules.Figure(i), rules.Figure(limit))
	}
}

// resize says how to keep the current of a pre-charge around an open contact small:
// by a resistance that still charges the capacitors in time, or by a relay.
func resize(p *rules.Pass, contactor string, r *schema.Resistor, v float64) string {
	const relay = "fit a relay in series with it that opens with the key"
	for _, a := range charging.Attempts(p) {
		if a.Contactor.ID != contactor {
			continue
		}
		text := a.Resize(p, v)
		switch {
		case strings.Contains(text, relay):
			return text
		case text != "":
			return text + "; or " + relay
		}
	}
	ohm := rules.RoundUp(v/p.Spec.Policy.PrechargeBypassA, 1)
	return "raise resistance_Ohm of " + r.ID + " from " + rules.Figure(r.ResistanceOhm) + " to at least " + rules.Figure(ohm) +
		" and check that the capacitors are still charged before " + contactor + " closes; or " + relay
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

// sourceOf returns the battery whose pole an edge is connected to, and
// which pole.
func sourceOf(n *circuit.Network, e *circuit.Edge) (circuit.Source, circuit.Side, bool) {
	for _, s := range n.Sources() {
		if !s.IsBattery() {
			continue
		}
		// Only one end needs to be connected to the pole: the contact
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
