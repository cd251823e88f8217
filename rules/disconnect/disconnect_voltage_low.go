package disconnect

import "example.org/headroom/rules"

func disconnectVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-voltage-low",
		Family: family,
		Title:  "a disconnect is rated for less than the highest voltage of its circuit",
		Why: "The gap of an open disconnect is designed for one DC voltage. Above it the arc of opening does not go out, " +
			"and the hand that opened it is next to it.",
		Relation: "rated_V_dc >= the highest working voltage: end of charge, charger, regeneration",
		Source:   "IEC 60947-1 (rated operational voltage); highest working voltage as in ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"disconnects.rated_V_dc"},
		Fix:      "use a disconnect rated for the voltage at the end of charge",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.rated_V_dc", Value: "48"}}},
		Check: check(evalVoltage),
	}
}

func evalVoltage(c *rules.Check, p *rules.Pass, d device) {
	if !d.RatedVdc.Known {
		c.NotChecked(d.field("rated_V_dc"), "%s: DC voltage rating is not given", d.ID)
		return
	}
	v, ok := d.workingV(c, p, d.RatedVdc.Value/p.Required())
	if !ok {
		return
	}
	rated := c.Given("V_r", "rated voltage of "+d.ID, d.RatedVdc.Value, "V", d.field("rated_V_dc"))
	c.Fix("use a disconnect rated at least %s V DC", rules.Figure(rules.RoundUp(p.Required()*v, 1)))
	c.AtMost(rules.Volts(v), rules.Volts(rated), "%s: up to %s V in its circuit, rated %s V DC", d.ID, rules.Figure(v), rules.Figure(rated))
}
