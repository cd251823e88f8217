package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func diodeOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "diode-overloaded",
		Family: family,
		Title:  "a diode carries more than its rated forward current",
		Why: "A diode drops nearly a volt at any current, and heats up within a second. An overloaded one fails as a short circuit, " +
			"and then connects the two circuits that it was meant to keep apart.",
		Relation: "the greatest forward current of any mode, however short, <= continuous_A; coils cold, pack full and empty, the auxiliary battery with the converter and alone",
		Source:   "data sheet; that the junction heats up within a second is common practice",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"diodes.continuous_A"},
		Fix:      "use a diode rated for a larger forward current, on a heat sink where its data sheet requires one",
		Policy:   []string{"policy.required.diode-overloaded"},
		Example:  diodeExample("continuous_A", "0.02"),
		Check: func(p *rules.Pass) {
			eachDiode(p, func(c *rules.Check, d *schema.Diode) { evalDiodeCurrent(c, p, d) })
		},
	}
}

// diodeExample feeds heron's coils through a diode, as a team does that wants to
// keep two feeds of a coil apart, with one rating of its own.
func diodeExample(field, value string) rules.Example {
	return rules.Example{Vehicle: "heron", Subject: "apart", Edits: []rules.Edit{
		{Path: "diodes.apart", Value: `{"forward_V": 0.8, "forward_at_A": 1, "continuous_A": 3, "reverse_V": 100, "` + field + `": ` + value + `, "source": "sheet DI-3"}`},
		{Path: "wires.w_apart", Value: `{"from": "apart.cathode", "to": "main_contactor.coil_pos", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`},
		{Path: "wires.w_coil_contactor.to", Value: `"apart.anode"`}}}
}

func evalDiodeCurrent(c *rules.Check, p *rules.Pass, d *schema.Diode) {
	i, at, ok := worstOf(c, p, d.ID, func(s *circuit.Solution) float64 { return s.Current(d.ID) })
	const none = 1e-4 // A: what leaks
	switch {
	case !ok:
	case i < none:
		c.Holds(true, "%s carries no current in any mode", d.ID)
	case !d.ContinuousA.Known:
		c.NotChecked(d.Path()+".continuous_A", "%s: %s A in mode %s, its rated forward current is not declared", d.ID, rules.Figure(i), at.Mode)
	default:
		c.In(at.Mode, at.String())
		c.Solved("I_F", "forward current of "+d.ID, i, "A", at.String())
		limit := c.Given("I_c", "its rated continuous forward current", d.ContinuousA.Value, "A", d.Path()+".continuous_A")
		c.Fix("use a diode rated at least %s A forward, on a heat sink where its data sheet requires one", rules.Figure(rules.RoundUp(p.Required()*i, 0.1)))
		c.AtMost(rules.Quantity{Value: i, Unit: "A"}, rules.Quantity{Value: limit, Unit: "A"},
			"%s: %s A in mode %s, rated %s A", d.ID, rules.Figure(i), at.Mode, rules.Figure(limit))
	}
}
