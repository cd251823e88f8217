package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func voltageACOnly() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-voltage-ac-only",
		Family: family,
		Title:  "a fuse states its voltage for alternating current only",
		Why: "An alternating current passes through zero a hundred times a second and so helps the arc to go out; a battery's does not. " +
			"A fuse for 250 V AC may burn on at 60 V DC, and its body with it.",
		Relation: "rated_V_dc is given",
		Source:   "IEC 60269-1, 5.2; ISO 8820-1 (rated voltage by kind of current)",
		Level:    rules.Error,
		Fix:      "find the DC voltage on the datasheet and give it as rated_V_dc; a fuse whose datasheet has none does not belong on a battery",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.rated_V_dc"}, {Path: "fuses.main.rated_V_ac", Value: "250"}, {Path: "fuses.main.breaking_at_V", Value: "125"}}},
		Check: checkVoltageACOnly,
	}
}

func checkVoltageACOnly(p *rules.Pass) {
	newSupply(p).fuses(func(f *schema.Fuse, c *rules.Check) bool {
		switch {
		case f.RatedVdc.Known:
			c.Given("V_dc", "DC voltage of "+f.ID, f.RatedVdc.Value, "V", f.Path()+".rated_V_dc")
			c.Holds(true, "%s states a DC voltage, %s V", f.ID, rules.Figure(f.RatedVdc.Value))
		case f.RatedVac.Known:
			c.Given("V_ac", "AC voltage of "+f.ID, f.RatedVac.Value, "V", f.Path()+".rated_V_ac")
			c.Related(f.Path()+".rated_V_ac", "the AC figure, which does not count on a battery")
			c.Fail("%s states only an AC voltage, %s V; nothing says what it interrupts on a battery", f.ID, rules.Figure(f.RatedVac.Value))
		}
		return true
	})
}
