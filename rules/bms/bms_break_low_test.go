package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 2 m of conductor and 1 uH are 3 uH; 58.4 V over 30 mOhm and the loop's 1 to 2 mOhm: 1683 A and
// 4.25 J without these (WF62), 3 % less with them.
func TestBreakLow(t *testing.T) {
	fixture.Play(t, breakLow(), []ruletest.Scene{
		{Name: "takes it", Want: ruletest.Want{Verdict: rules.Passed, Demand: 4.15, Capability: 10, Relative: 0.05}},
		{Name: "takes less", Edits: ruletest.Edits("batteries.pack.bms.break.J", "1"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 4.15, Capability: 1, Relative: 0.05}},
		{Name: "slower", Edits: ruletest.Edits("batteries.pack.bms.short_trip_us", "1", "batteries.pack.bms.break.J", "1"), Want: ruletest.Want{Verdict: rules.Passed}},
		// 50 us over 31.5 mOhm: of 1 to 3 uH, 1.25 uH stores most: 1.33 kA and 1.10 J; 3 uH only 0.86 J.
		{Name: "less inductance stores more", Edits: ruletest.Edits("batteries.pack.bms.short_trip_us", "50", "batteries.pack.bms.break.J", "1"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 1.10, Capability: 1, Relative: 0.03}},
		{Name: "two packs in series", Edits: ruletest.Edits(second...), Want: ruletest.Want{Verdict: rules.Failed, Demand: 116.8, Capability: 80}},
		{Name: "transistors for 50 V", Edits: ruletest.Edits("batteries.pack.bms.break.V", "50"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 58.4, Capability: 50}},
		{Name: "energy not given", Edits: ruletest.Edits("batteries.pack.bms.break.J", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.break.J"}},
		{Name: "nothing given", Edits: ruletest.Edits("batteries.pack.bms.break", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.break"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
