package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 13.5 V on a flat battery of 10.5 V and 20 mOhm: 150 A, of 26 A.
func TestStallsOnBattery(t *testing.T) {
	fixture.Play(t, stallsOnBattery(), []ruletest.Scene{
		{Name: "no battery"},
		{Name: "it hiccups", Edits: auxiliary(nil), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 150, Capability: 26}},
		{Name: "it holds its current", Edits: auxiliary(ruletest.Edits("converters.dcdc.output.at_limit", `"constant-current"`)), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a battery of much resistance", Edits: auxiliary(ruletest.Edits("batteries.aux.resistance_mOhm", "200")), Want: ruletest.Want{Verdict: rules.Passed, Demand: 15}},
		{Name: "resistance not given", Edits: auxiliary(ruletest.Edits("batteries.aux.resistance_mOhm", "")),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.aux.resistance_mOhm"}},
	})
}
