package converter

import "example.org/headroom/rules"

func loadVoltageHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "load-voltage-high",
		Family: family,
		Title:  "a consumer gets more voltage than it is rated for",
		Why: "A pilot lamp or instrument on the pack gets the voltage of end of charge and regeneration, not the nominal one; a consumer on the house " +
			"network gets the battery's charging voltage. Electronics fail; a filament at 10 % too much lasts less than a third of its life (V^-13, lamp practice).",
		Relation: "V at the consumer <= max_V in every mode that turns it on: pack full with charging and regeneration, auxiliary battery alone and full; copper cold",
		Source:   "data sheet; ISO 16750-2 (supply ranges) for the corners",
		Level:    rules.Error, Required: 1,
		Policy: []string{"policy.required.load-voltage-high"},
		Fix:    "use a consumer rated for the highest working voltage of its network",
		Example: rules.Example{Vehicle: "heron", Subject: "headlamp", Edits: []rules.Edit{
			{Path: "loads.headlamp.max_V", Value: "13.5"}}},
		Check: checkLoadVoltageHigh,
	}
}

func checkLoadVoltageHigh(p *rules.Pass) {
	for _, d := range supplied(p) {
		c := p.Subject(d.id, d.path)
		if p.Unsound(c, d.id+".pos", d.id+".neg") {
			continue
		}
		w := highestAt(p, d.id, d.modes)
		switch {
		case len(d.modes) == 0:
			c.NotChecked("a mode that turns on "+d.id, "no mode turns on %s", d.id)
		case !d.maxV.Known:
			c.NotChecked(d.path+".max_V", "%s: its highest voltage is not stated", d.id)
		case w.failed != nil && unsettled(c, w.failed):
		case !w.ok:
			c.NotChecked("a mode that feeds "+d.id, "no mode feeds %s", d.id)
		default:
			c.In(w.state.Mode, w.state.String())
			c.Solved("V", "highest voltage across "+d.id, w.v, "V", inMode(w.state))
			limit := c.Given("V_max", "rated voltage of "+d.id, d.maxV.Value, "V", d.path+".max_V")
			c.Fix("use a consumer in place of %s with max_V of at least %s", d.id, rules.Figure(rules.RoundUp(w.v*p.Required(), 0.1)))
			c.AtMost(rules.Volts(w.v), rules.Volts(limit), "%s: %s V in mode %s, rated %s V", d.id, rules.Figure(w.v), w.state.Mode, rules.Figure(limit))
		}
	}
}
