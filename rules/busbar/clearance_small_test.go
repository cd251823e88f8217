package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestClearanceSmall(t *testing.T) {
	fixture.Play(t, clearanceSmall(), []ruletest.Scene{
		{Name: "20 mm", Subject: "joint", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10, Capability: 20}},
		{Name: "a spanner bridges 6 mm", Subject: "bar", Edits: ruletest.Edits("busbars.bar.clearance_mm", "6"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 10, Capability: 6}},
		{Name: "a spare stud", Subject: "joint", Edits: ruletest.Edits("studs.joint.spare", "true")}, // that it is wired is another finding
		{Name: "not given", Subject: "bar", Edits: ruletest.Edits("busbars.bar.clearance_mm", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "busbars.bar.clearance_mm"}},
		{Name: "not given below 60 V", Subject: "bar", Edits: append(low(), ruletest.Edits("busbars.bar.clearance_mm", "")...)},
		{Name: "given below 60 V", Subject: "bar", Edits: append(low(), ruletest.Edits("busbars.bar.clearance_mm", "4")...), Want: ruletest.Want{Verdict: rules.Failed, Demand: 10}},
	})
}
