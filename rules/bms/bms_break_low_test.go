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
		{Name: "transistors for 50 V", Edits: ruletest.Edits("batteries.pack.bms.break.V", "50"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 58.4, Capability: 50}},
		{Name: "energy not given", Edits: ruletest.Edits("batteries.pack.bms.break.J", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.break.J"}},
		{Name: "nothing given", Edits: ruletest.Edits("batteries.pack.bms.break", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.break"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
