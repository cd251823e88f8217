package precharge

import "example.org/headroom/rules"

func prechargeVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-voltage-low",
		Family: family,
		Title:  "the pre-charge resistor is rated for less than the battery's voltage",
		Why: "At first the whole battery voltage is across the resistor. One that is rated below that arcs over its body or from turn to turn, " +
			"and the pre-charge becomes a short circuit.",
		Relation: "V of the full battery <= max_V of the resistor; each of several in series has its share",
		Source:   "circuit theory (voltage divider)",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a resistor with a higher voltage rating, or two in series of half the resistance each",
		Example: rules.Example{Vehicle: "heron", Subject: "soft", Edits: []rules.Edit{
			{Path: "resistors.soft.max_V", Value: "75"}}},
		Check: checkVoltage,
	}
}

func checkVoltage(p *rules.Pass) {
	for _, s := range resistors(p) {
		c, ok := onResistor(p, s)
		if !ok || !need(c, s.MaxV, s.Resistor.Path()+".max_V", "%s: voltage rating is not given", s.Resistor.ID) {
			continue
		}
		v, ok := full(c, p, s.Attempt)
		if !ok {
			continue
		}
		if len(s.Resistors) > 1 {
			own := c.Given("R", "resistance of "+s.Resistor.ID, s.ResistanceOhm, "Ohm", s.Resistor.Path()+".resistance_Ohm")
			all := s.Charge(v).SeriesOhm
			v = c.Calc("V_R", "its share", "V_w R / R_all", rules.Term(v)+" * "+rules.Term(own)+" / "+rules.Term(all), v*own/all, "V")
		}
		limit := c.Given("V_max", "voltage rating of "+s.Resistor.ID, s.MaxV.Value, "V", s.Resistor.Path()+".max_V")
		need := p.Required() * v
		c.Fix("use a resistor for %s with max_V of at least %s, or two in series of half its resistance each with max_V of at least %s",
			s.Resistor.ID, rules.Figure(rules.RoundUp(need, 1)), rules.Figure(rules.RoundUp(need/2, 1)))
		c.In(s.Mode, "pack full").AtMost(rules.Volts(v), rules.Volts(limit), "%s: %s V across it at first, rated %s V", s.Resistor.ID, rules.Figure(v), rules.Figure(limit))
	}
}
