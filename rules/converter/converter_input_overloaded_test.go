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
	thin := `{"from": "main.drive_b", "to": "dcdc.in_pos", "size": "0.35 mm2", "length_m": 0.1, "zone": "bay", "insulation": {"max_C": 60, "rated_V": 600}}`
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the worked input current", Want: ruletest.Want{Verdict: rules.Passed, Demand: 3.3037, Capability: 7.76}},
		// 4 A x 0.776 = 3.104 A.
		{Name: "a fuse that is too small", Edits: ruletest.Edits("fuses.input_fuse.rated_A", "4"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 3.3037, Capability: 3.104}},
		{Name: "in a class without rules", Edits: ruletest.Edits("fuses.input_fuse.class", `"other"`), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.input_fuse.class"}},
		// A flat battery takes all of 26 A: 26 x 13.5 / (0.9 x 75) = 5.2 A.
		{Name: "recharging a battery", Edits: auxiliary(nil), Want: ruletest.Want{Verdict: rules.Passed, Demand: 5.2, Capability: 7.76}},
		{Name: "no more than the converter takes", Edits: auxiliary(ruletest.Edits("converters.dcdc.input.max_A", "5")), Want: ruletest.Want{Verdict: rules.Passed, Demand: 5}},
		// Efficiency not given: 85 % by the policy, 3.498 A.
		{Name: "efficiency by the policy", Edits: ruletest.Edits("converters.dcdc.efficiency_percent", ""), Want: ruletest.Want{Verdict: rules.Passed, Demand: 3.498}},
		{Name: "a gG fuse carries its rating", Edits: ruletest.Edits("fuses.input_fuse.class", `"gG"`, "fuses.input_fuse.rated_A", "4"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 3.3037, Capability: 4}},
		{Name: "a wire that is thinner than the fuse allows", Edits: ruletest.Edits("wires.w3", thin, "zones.bay", `{"rise_K": 15}`), Want: ruletest.Want{Verdict: rules.Failed}},
	})
}
