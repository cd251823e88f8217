package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 223 W at 90 % from 75 V are 3.3037 A (worked example; worst at the lowest
// pack voltage). The fuse: 10 A x 0.80 x (1 - 0.2 %/K x 15 K) = 7.76 A.
func TestInputOverloaded(t *testing.T) {
	rule := inputOverloaded()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	thin := `{"from": "main.drive_b", "to": "dcdc.in_pos", "size": "0.35 mm2", "length_m": 0.1, "zone": "bay", "insulation": {"max_C": 60, "rated_V": 600}}`
	play(t, rule, []scene{
		{"the worked input current", nil, "", outcome{verdict: rules.Passed, demand: 3.3037, capability: 7.76}},
		// 4 A x 0.776 = 3.104 A.
		{"a fuse that is too small", edits{"fuses.input_fuse.rated_A": "4"}, "", outcome{verdict: rules.Failed, level: rules.Error, demand: 3.3037, capability: 3.104}},
		{"in a class without rules", edits{"fuses.input_fuse.class": `"other"`}, "", outcome{verdict: rules.NotChecked, missing: "fuses.input_fuse.class"}},
		// A flat battery takes all of 26 A: 26 x 13.5 / (0.9 x 75) = 5.2 A.
		{"recharging a battery", auxiliary(nil), "", outcome{verdict: rules.Passed, demand: 5.2, capability: 7.76}},
		{"no more than the converter takes", auxiliary(edits{"converters.dcdc.input.max_A": "5"}), "", outcome{verdict: rules.Passed, demand: 5}},
		// Efficiency not given: 85 % by the policy, 3.498 A.
		{"efficiency by the policy", edits{"converters.dcdc.efficiency_percent": ""}, "", outcome{verdict: rules.Passed, demand: 3.498}},
		{"a gG fuse carries its rating", edits{"fuses.input_fuse.class": `"gG"`, "fuses.input_fuse.rated_A": "4"}, "", outcome{verdict: rules.Passed, demand: 3.3037, capability: 4}},
		{"a wire that is thinner than the fuse allows", edits{"wires.w3": thin, "zones.bay": `{"rise_K": 15}`}, "", outcome{verdict: rules.Failed}},
	})
}
