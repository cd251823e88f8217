package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// unequalShare is by how much the capacities of batteries in one string may
// differ: what their tolerances and data sheets make of like ones (common practice).
const unequalShare = 0.1

func stringUnequal() *rules.Rule {
	return &rules.Rule{
		ID:     "string-unequal",
		Family: family,
		Title:  "batteries of different capacity or chemistry are in one string",
		Why: "Batteries in series carry one current. The smallest is empty first and is then driven into reverse by the others; it is full first too, " +
			"and is overcharged while the charger waits for the rest. Cells of two chemistries are full and empty at different times. " +
			"Lithium cells then vent or burn, lead-acid ones boil dry.",
		Relation: "all batteries of a string have one chemistry, and the smallest capacity >= 0.9 times the greatest",
		Source:   "one current in a series circuit (circuit theory); that only like batteries are put in series is common practice",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.required.string-unequal"},
		Fix:      "use batteries of one kind, capacity and age in a string",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.lower", Value: `{"role": "traction", "min_V": 11, "nominal_V": 12.8, "max_V": 14.6, "resistance_mOhm": 5, "capacity_Ah": 20}`},
			{Path: "wires.w_lower_link", Value: `{"from": "lower.neg", "to": "pack.pos", "size": "50 mm2", "length_m": 0.2}`},
			{Path: "wires.w_pack_fuse.from", Value: `"lower.pos"`}}},
		Check: checkStringUnequal,
	}
}

func checkStringUnequal(p *rules.Pass) {
	for _, s := range p.Circuit.Strings() {
		if len(s) < 2 {
			continue
		}
		c := p.Subject(s[0].ID, s[0].Path)
		unsound := false
		for _, b := range s {
			unsound = unsound || p.Unsound(c, b.ID+".pos", b.ID+".neg")
		}
		if !unsound {
			compareString(c, p, s)
		}
	}
}

func compareString(c *rules.Check, p *rules.Pass, s circuit.SeriesString) {
	var small, large, kind *schema.Battery
	missing, unnamed := "", ""
	for _, source := range s {
		b := p.Spec.Batteries[source.ID]
		if b.Chemistry == "" {
			unnamed = b.Path() + ".chemistry"
		} else {
			c.GivenText("chemistry", "chemistry of "+b.ID, b.Chemistry, b.Path()+".chemistry")
			switch {
			case kind == nil:
				kind = b
			case kind.Chemistry != b.Chemistry:
				c.Related(b.Path()+".chemistry", "the other chemistry")
				c.Fail("%s (%s) and %s (%s) are in one string: their cells are full and empty at different times", kind.ID, kind.Chemistry, b.ID, b.Chemistry)
				return
			}
		}
		if !b.CapacityAh.Known {
			missing = b.Path() + ".capacity_Ah"
			continue
		}
		c.Given("C_"+b.ID, "capacity of "+b.ID, b.CapacityAh.Value, "Ah", b.Path()+".capacity_Ah")
		if small == nil || b.CapacityAh.Value < small.CapacityAh.Value {
			small = b
		}
		if large == nil || b.CapacityAh.Value > large.CapacityAh.Value {
			large = b
		}
	}
	if missing != "" && (small == nil || small.CapacityAh.Value >= (1-unequalShare)*large.CapacityAh.Value) {
		c.NotChecked(missing, "%s are in one string, and not all state their capacity", s.Name())
		return
	}
	most, least := large.CapacityAh.Value, small.CapacityAh.Value
	need := c.Calc("C_least", "least capacity allowed beside the greatest", "0.9 C_max", rules.Term(1-unequalShare)+" * "+rules.Term(most), (1-unequalShare)*most, "Ah")
	if least < need {
		c.Related(small.Path()+".capacity_Ah", "the smaller one")
	}
	if least >= need && unnamed != "" {
		c.NotChecked(unnamed, "%s are in one string, and not all state their chemistry", s.Name())
		return
	}
	if least >= need {
		c.AtMost(rules.Quantity{Value: need, Unit: "Ah"}, rules.Quantity{Value: least, Unit: "Ah"},
			"%s: %s to %s Ah, one chemistry", s.Name(), rules.Figure(least), rules.Figure(most))
		return
	}
	c.AtMost(rules.Quantity{Value: need, Unit: "Ah"}, rules.Quantity{Value: least, Unit: "Ah"},
		"%s of %s Ah and %s of %s Ah are in one string: %s is empty first and full first", large.ID, rules.Figure(most), small.ID, rules.Figure(least), small.ID)
}
