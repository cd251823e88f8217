package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryParallelMismatch(t *testing.T) {
	rule := batteryParallelMismatch()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "one pack", Subject: "pack"},
		{Name: "two alike", Subject: "pack", Edits: second(),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 54, Capability: 54.54}},
		{Name: "one of 14 cells beside one of 15", Subject: "second", Edits: second(ruletest.Edits("batteries.second.max_V", "50.4")...), // 3.6 V a cell
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 54, Capability: 50.904}},
		{Name: "the procedure of joining does not help", Subject: "second",
			Edits: second(ruletest.Edits("batteries.second.max_V", "50.4", "batteries.second.connect_within_V", "0.5")...),
			Want:  ruletest.Want{Verdict: rules.Failed}},
		{Name: "within a charger's tolerance", Subject: "second", Edits: second(ruletest.Edits("batteries.second.max_V", "53.6")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 54, Capability: 54.136}},
		{Name: "a string in series is not in parallel", Subject: "pack", Edits: series()},
	})
}
