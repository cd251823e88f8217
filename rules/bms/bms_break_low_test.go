package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 2 m of conductor and 1 uH are 3 uH at most, which gives most: 58.4 V over 30 mOhm and the
// loop's 1 to 2 mOhm are 1630 A after 200 us. The clamp has 80 V - 58.4 V = 21.6 V above the
// battery: x = 1630 * 0.0315 / 21.6 = 2.377 and 80 * 3e-6 * 21.6 / 0.0315^2 (x - ln 3.377) =
// 6.06 J, where the loop had stored 4 J. With 60 V x is 32.1, and it is 8.3 J.
func TestBreakLow(t *testing.T) {
	fixture.Play(t, breakLow(), []ruletest.Scene{
		{Name: "takes it", Want: ruletest.Want{Verdict: rules.Passed, Demand: 6.06, Capability: 10, Relative: 0.05}},
		{Name: "takes less", Edits: ruletest.Edits("batteries.pack.bms.break.J", "1"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 6.06, Capability: 1, Relative: 0.05}},
		{Name: "slower", Edits: ruletest.Edits("batteries.pack.bms.short_trip_us", "1", "batteries.pack.bms.break.J", "1"), Want: ruletest.Want{Verdict: rules.Passed}},
		// 50 us over 31.5 mOhm: of 1 to 3 uH, 1.94 uH gives most: 1.03 kA and 1.98 J.
		{Name: "less inductance gives more", Edits: ruletest.Edits("batteries.pack.bms.short_trip_us", "50", "batteries.pack.bms.break.J", "1"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 1.98, Capability: 1, Relative: 0.03}},
		{Name: "two packs in series", Edits: ruletest.Edits(second...), Want: ruletest.Want{Verdict: rules.Failed, Demand: 116.8, Capability: 80}},
		{Name: "transistors for 50 V", Edits: ruletest.Edits("batteries.pack.bms.break.V", "50"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 58.4, Capability: 50}},
		{Name: "clamps just above the battery", Edits: ruletest.Edits("batteries.pack.bms.break", `{"V": 60, "J": 8}`), Want: ruletest.Want{Verdict: rules.Failed, Demand: 8.3, Capability: 8, Relative: 0.01}},
		{Name: "clamps at the battery's voltage", Edits: ruletest.Edits("batteries.pack.bms.break.V", "58.4"), Want: ruletest.Want{Verdict: rules.Failed, Message: "no more than the battery has"}},
		{Name: "energy not given", Edits: ruletest.Edits("batteries.pack.bms.break.J", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.break.J"}},
		{Name: "nothing given", Edits: ruletest.Edits("batteries.pack.bms.break", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.break"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
