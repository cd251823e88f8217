package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Two packs of 10 mOhm under a continuous 150 A, and little else: 75 A each. With 30 % more
// resistance in the other a pack carries 1.3 / 2.3 of it, 84.8 A; the others of three 1.3 /
// 3.3. Published: 10 and 14 mOhm share 200 A as 116.7 and 83.3 A.
func TestParallelShareHigh(t *testing.T) {
	packs := func(more ...string) []rules.Edit {
		return second(ruletest.Edits(append([]string{"modes", `{"roll": {"draw": {"drive": {"current_A": 150}}}}`,
			"controllers.drive.battery_continuous_A", "200", "controllers.drive.battery_peak_A", "", "batteries.pack.resistance_mOhm", "10", "batteries.second.resistance_mOhm", "10"}, more...)...)...)
	}
	fixture.Play(t, parallelShareHigh(), []ruletest.Scene{
		{Name: "of 100 A", Subject: "second", Edits: packs(), Want: ruletest.Want{Verdict: rules.Passed, Demand: 84.8, Capability: 100, Relative: 0.01}},
		{Name: "of 80 A", Subject: "second", Edits: packs("batteries.second.continuous_A", "80"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 84.8, Relative: 0.01}},
		{Name: "of 80 A, matched within 5 %", Subject: "second", Edits: packs("batteries.second.continuous_A", "80", "batteries.second.spread_percent", "5", "batteries.pack.spread_percent", "3"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 76.8, Relative: 0.01}},
		{Name: "only one says how it is matched", Subject: "second", Edits: packs("batteries.second.continuous_A", "80", "batteries.second.spread_percent", "5"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 84.8, Relative: 0.01}},
		{Name: "of unlike packs", Subject: "second", Edits: packs("batteries.pack.resistance_mOhm", "14", "batteries.second.spread_percent", "0", "batteries.pack.spread_percent", "0", "batteries.second.continuous_A", "85"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 87.5, Relative: 0.01, Primary: "battery-overloaded/second"}},
		{Name: "both alike: one weakness", Subject: "second", Edits: packs("batteries.second.continuous_A", "80", "batteries.pack.continuous_A", "80"),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "parallel-share-high/pack"}},
		{Name: "continuous current not given", Subject: "second", Edits: packs("batteries.second.continuous_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.second.continuous_A"}},
		{Name: "a pack by itself", Subject: "pack"},
	})
}
