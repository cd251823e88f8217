package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 1.25 x 90 A = 112.5 A.
func TestControllerMismatch(t *testing.T) {
	fixture.Play(t, controllerMismatch(), []ruletest.Scene{
		{Name: "fits", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100, Capability: 112.5}},
		{Name: "too large", Edits: ruletest.Edits("fuses.main.rated_A", "125"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "too small", Edits: ruletest.Edits("fuses.main.rated_A", "50"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Capability: 50}},
		{Name: "limit unknown", Edits: ruletest.Edits("controllers.drive.battery_peak_A", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "controllers.drive.battery_peak_A"}},
		{Name: "not before a controller", Subject: "branch"},
	})
}
