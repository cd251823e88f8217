package converter

import "example.org/headroom/rules"

func loadVoltageHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "load-voltage-high",
		Family: family,
		Title:  "a consumer gets more voltage than it stands",
		Why: "A pilot lamp or instrument on the pack sees the end of charge and regeneration, not the nominal voltage; a consumer on the house " +
			"network sees the battery's charging voltage. Electronics fail; a filament at 10 % too much lasts less than a third of its time (V^-13, lamp practice).",
		Relation: "V at the consumer <= max_V in every mode that turns it on: pack full with charging and regeneration, auxiliary battery alone and full; copper cold",
		Source:   "data sheet; ISO 16750-2 (supply ranges) for the corners",
		Level:    rules.Error, Required: 1,
		Policy: []string{"policy.required.load-voltage-high"},
		Fix:    "take a consumer for the highest working voltage of its network",
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
			c.NotChecked(d.path+".max_V", "it is not known up to which voltage %s may be used", d.id)
		case w.failed != nil && unsettled(c, w.failed):
		case !w.ok:
			c.NotChecked("a mode that feeds "+d.id, "no mode feeds %s", d.id)
		default:
			c.In(w.state.Mode, w.state.String())
			c.Solved("V", "highest voltage across "+d.id, w.v, "V", inMode(w.state))
			limit := c.Given("V_max", "highest voltage that "+d.id+" stands", d.maxV.Value, "V", d.path+".max_V")
			c.AtMost(rules.Volts(w.v), rules.Volts(limit), "%s gets %s V in mode %s; it stands %s V", d.id, rules.Figure(w.v), w.state.Mode, rules.Figure(limit))
		}
	}
}
