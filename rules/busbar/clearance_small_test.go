package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestClearanceSmall(t *testing.T) {
	play(t, clearanceSmall(),
		ruletest.Scene{Name: "20 mm", Subject: "joint", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10, Capability: 20}},
		ruletest.Scene{Name: "a spanner bridges 6 mm", Subject: "bar", Edits: edits("busbars.bar.clearance_mm", "6"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 10, Capability: 6}},
		ruletest.Scene{Name: "not given", Subject: "bar", Edits: edits("busbars.bar.clearance_mm", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "busbars.bar.clearance_mm"}},
		ruletest.Scene{Name: "not given below 60 V", Subject: "bar", Edits: append(low(), edit("busbars.bar.clearance_mm", ""))},
		ruletest.Scene{Name: "given below 60 V", Subject: "bar", Edits: append(low(), edit("busbars.bar.clearance_mm", "4")), Want: ruletest.Want{Verdict: rules.Failed, Demand: 10}},
	)
}
