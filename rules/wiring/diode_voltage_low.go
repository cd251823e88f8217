package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func diodeVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "diode-voltage-low",
		Family: family,
		Title:  "a diode blocks more than its rated reverse voltage",
		Why: "Above its reverse voltage a diode breaks down and stays a short circuit. Across a coil it then shorts the supply when the key is turned; " +
			"between two feeds it connects them permanently.",
		Relation: "the greatest voltage from cathode to anode in any mode <= reverse_V; pack full and empty, the auxiliary battery with the converter and alone",
		Source:   "data sheet (repetitive peak reverse voltage)",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"diodes.reverse_V"},
		Fix:      "use a diode rated for a higher reverse voltage; twice the voltage of the circuit is common practice, to allow for the spikes of switched coils",
		Policy:   []string{"policy.required.diode-voltage-low"},
		Example: rules.Example{Vehicle: "heron", Subject: "wheel", Edits: []rules.Edit{
			{Path: "diodes.wheel", Value: `{"continuous_A": 1, "reverse_V": 8, "source": "sheet DI-1"}`},
			{Path: "wires.w_wheel_pos", Value: `{"from": "main_contactor.coil_pos", "to": "wheel.cathode", "size": "1.5 mm2", "length_m": 0.05, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_wheel_neg", Value: `{"from": "main_contactor.coil_neg", "to": "wheel.anode", "size": "1.5 mm2", "length_m": 0.05, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: func(p *rules.Pass) {
			eachDiode(p, func(c *rules.Check, d *schema.Diode) { evalDiodeVoltage(c, p, d) })
		},
	}
}

func evalDiodeVoltage(c *rules.Check, p *rules.Pass, d *schema.Diode) {
	e := p.Circuit.Edge(d.ID)
	v, at, ok := worstOf(c, p, d.ID, func(s *circuit.Solution) float64 {
		if !s.Together(e.From, e.To) {
			return 0
		}
		return s.V(e.To) - s.V(e.From)
	})
	const none = 0.1 // V: the drop along a return conductor
	switch {
	case !ok:
	case v < none:
		c.Holds(true, "%s blocks no voltage in any mode", d.ID)
	case !d.ReverseV.Known:
		c.NotChecked(d.Path()+".reverse_V", "%s: %s V reverse in mode %s, its rated reverse voltage is not declared", d.ID, rules.Figure(v), at.Mode)
	default:
		c.In(at.Mode, at.String())
		c.Solved("V_R", "reverse voltage across "+d.ID, v, "V", at.String())
		limit := c.Given("V_RRM", "its rated reverse voltage", d.ReverseV.Value, "V", d.Path()+".reverse_V")
		c.Fix("use a diode with reverse_V of at least %s; twice the voltage of the circuit is common practice, to allow for the spikes of switched coils", rules.Figure(rules.RoundUp(p.Required()*v, 1)))
		c.AtMost(rules.Quantity{Value: v, Unit: "V"}, rules.Quantity{Value: limit, Unit: "V"},
			"%s: %s V reverse in mode %s, rated %s V", d.ID, rules.Figure(v), at.Mode, rules.Figure(limit))
	}
}
