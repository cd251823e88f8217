package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func voltageACOnly() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-voltage-ac-only",
		Family: family,
		Title:  "a fuse has a voltage rating for AC only",
		Why: "An alternating current passes through zero a hundred times a second, where the arc goes out; the current of a battery does not. " +
			"A fuse rated 250 V AC may burn on at 60 V DC, and its body with it.",
		Relation: "rated_V_dc is given",
		Source:   "IEC 60269-1, 5.2; ISO 8820-1 (rated voltage by kind of current)",
		Level:    rules.Error,
		Fix:      "find the DC voltage rating in the data sheet and declare it as rated_V_dc; if there is none, use another fuse",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.rated_V_dc"}, {Path: "fuses.main.rated_V_ac", Value: "250"}, {Path: "fuses.main.breaking_at_V", Value: "125"}}},
		Check: checkVoltageACOnly,
	}
}

func checkVoltageACOnly(p *rules.Pass) {
	newSupply(p).fuses(func(f *schema.Fuse, c *rules.Check) bool {
		switch {
		case f.RatedVdc.Known:
			c.Given("V_dc", "DC voltage rating of "+f.ID, f.RatedVdc.Value, "V", f.Path()+".rated_V_dc")
			c.Holds(true, "%s: rated %s V DC", f.ID, rules.Figure(f.RatedVdc.Value))
		case f.RatedVac.Known:
			c.Given("V_ac", "AC voltage rating of "+f.ID, f.RatedVac.Value, "V", f.Path()+".rated_V_ac")
			c.Related(f.Path()+".rated_V_ac", "the AC rating, which does not apply on a battery")
			c.Fail("%s: rated %s V AC only, with no DC rating for a battery circuit", f.ID, rules.Figure(f.RatedVac.Value))
		}
		return true
	})
}
