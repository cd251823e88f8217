package converter

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func inrushHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-inrush-high",
		Family: family,
		Title:  "the inrush into the converter's input capacitors exceeds the making capacity of the contact that closes on them",
		Why: "The contact that connects the converter charges its input capacitors in microseconds, with hundreds of amperes. " +
			"A key switch or small relay pits and welds; then it no longer switches off.",
		Relation: "first peak of the charging current <= make_A of each contact that closes on it, with V the pack's max_V, R the least resistance of the loop, " +
			"L 0.5 uH per metre of its conductors, there and back, C input.capacitance_uF with esr_mOhm, without it none",
		Source:   "circuit theory (step into a series RLC circuit); 1 uH per metre of a pair of cables is common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.converter-inrush-high"},
		Vital: []string{
			"converters.input.capacitance_uF", "contactors.contact.make_A", "relays.contact.make_A", "disconnects.make_A",
			"switches.poles.make_A", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "connect the converter through a contact with a higher make_A, or pre-charge it through a resistor",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "disconnects.isolator.make_A", Value: "150"}}},
		Check: checkInrush,
	}
}

func checkInrush(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos") {
			continue
		}
		loop, ok := p.Circuit.LoopTo(p.Circuit.Edge(v.ID+".in"), nil)
		// A contact pre-charged by a resistor closes on full capacitors.
		contacts := slices.DeleteFunc(loop.Contacts, func(e *circuit.Edge) bool { return precharged(p.Circuit, e) })
		switch {
		case !ok:
			c.NotChecked("a battery that feeds "+v.ID, "no battery feeds the input of %s through conductors and contacts", v.ID)
		case len(contacts) == 0:
			c.Holds(true, "no contact closes on the input of %s", v.ID)
		case !v.Input.CapacitanceUF.Known:
			c.NotChecked(v.Path()+".input.capacitance_uF", "the input capacitance of %s is not known", v.ID)
		default:
			checkMaking(c, p, v, loop, contacts)
		}
	}
}

// precharged reports whether a resistor leads around a contact.
func precharged(n *circuit.Network, contact *circuit.Edge) bool {
	for _, e := range n.Bypass(contact.ID) {
		if r, ok := n.Spec.Resistors[e.Part]; ok && r.Role == "precharge" {
			return true
		}
	}
	return false
}

func checkMaking(c *rules.Check, p *rules.Pass, v *schema.Converter, l circuit.Loop, contacts []*circuit.Edge) {
	weakest, path, contact := schema.Number{}, "", ""
	for _, e := range contacts {
		rated, at := capacity.MakeA(p, e)
		if !rated.Known {
			c.NotChecked(at, "the making capacity of %s is not stated", e.Part)
			return
		}
		if !weakest.Known || rated.Value < weakest.Value {
			weakest, path, contact = rated, at, e.Part
		}
	}
	peak, ok := charging.Onto(p, l, p.Circuit.Edge(v.ID+".in")).Inrush(c, p)
	if !ok {
		return
	}
	limit := c.Given("I_m", "making capacity of "+contact, weakest.Value, "A", path)
	c.Related(path, "the contact that closes on it")
	c.Fix("connect the converter through a contact with a making capacity of at least %s A in place of %s, or pre-charge it through a resistor",
		rules.Figure(rules.RoundUp(peak*p.Required(), 1)), contact)
	c.AtMost(rules.Amperes(peak), rules.Amperes(limit), "%s: inrush peak of %s A into its input capacitors, making capacity of %s %s A",
		v.ID, rules.Figure(peak), contact, rules.Figure(limit))
}
