package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// endSpread is how far, as a factor, the ends of charge of batteries in
// parallel may differ: what the tolerance of a charger's end voltage is
// (common practice: 1 %).
const endSpread = 1.01

func batteryParallelMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-parallel-mismatch",
		Family: family,
		Title:  "batteries in parallel end their charge at different voltages",
		Why: "In parallel all have the same voltage. The one with the lower end of charge is charged beyond it by the others, with no charger at fault: " +
			"lithium cells are ruined by it, vent or burn. Bringing the voltages together before joining makes no difference.",
		Relation: "the highest end of charge of the strings in parallel <= 1.01 times the lowest; of a string the sum of its batteries' max_V",
		Source:   "circuit theory; common practice for the tolerance",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.battery-parallel-mismatch"},
		Fix:      "put only packs of the same cells and number of cells in parallel",
		Example: rules.Example{Vehicle: "heron", Subject: "second", Edits: []rules.Edit{
			{Path: "batteries.second", Value: `{"role": "traction", "min_V": 60, "nominal_V": 68, "max_V": 75, "resistance_mOhm": 28, "charge_max_A": 40}`},
			{Path: "fuses.second_fuse", Value: `{"class": "bolt-down", "rated_A": 125, "rated_V_dc": 125, "breaking_A_dc": 10000}`},
			{Path: "wires.w_second_pos", Value: `{"from": "second.pos", "to": "second_fuse.a", "size": "50 mm2", "length_m": 0.15}`},
			{Path: "wires.w_second_fuse", Value: `{"from": "second_fuse.b", "to": "main.b", "size": "50 mm2", "length_m": 0.3}`},
			{Path: "wires.w_second_neg", Value: `{"from": "second.neg", "to": "pack.neg", "size": "50 mm2", "length_m": 0.3}`}}},
		Check: checkParallelMismatch,
	}
}

func checkParallelMismatch(p *rules.Pass) {
	seen := map[string]bool{}
	for _, x := range batteries(p) {
		// One result for each group, on the string that the others overcharge.
		if seen[x.Parallel[0][0].ID] || len(x.Parallel) < 2 {
			continue
		}
		seen[x.Parallel[0][0].ID] = true
		low, high := x.Parallel[0], x.Parallel[0]
		for _, s := range x.Parallel {
			v := s.V(p.Spec, circuit.Highest)
			if v < low.V(p.Spec, circuit.Highest) {
				low = s
			}
			if v > high.V(p.Spec, circuit.Highest) {
				high = s
			}
		}
		c := p.Subject(low[0].ID, low[0].Path)
		if p.Unsound(c, low[0].ID+".pos", high[0].ID+".pos") {
			continue
		}
		for _, b := range low {
			c.Given("V_"+b.ID, "end of charge of "+b.ID, b.MaxV, "V", b.Path+".max_V")
		}
		for _, b := range high {
			if !low.Has(b.ID) {
				c.Given("V_"+b.ID, "end of charge of "+b.ID, b.MaxV, "V", b.Path+".max_V")
				c.Related(b.Path+".max_V", "end of charge of "+b.ID)
			}
		}
		end := low.V(p.Spec, circuit.Highest)
		limit := c.Calc("V_lim", "end of charge of "+low.Name()+" with its tolerance", "1.01 sum of V", "1.01 * "+rules.Term(end), endSpread*end, "V")
		c.Culprit(low[0].ID) // what flows between them is no fault of fuses and cables
		highest := high.V(p.Spec, circuit.Highest)
		other := " in parallel with " + high.Name() + " at " + rules.Figure(highest) + " V"
		if high[0].ID == low[0].ID {
			other = " the same for all in parallel"
		}
		c.AtMost(rules.Volts(highest), rules.Volts(limit), "%s: end of charge %s V,%s", low.Name(), rules.Figure(end), other)
	}
}
