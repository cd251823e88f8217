package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 1.25 x 90 A = 112.5 A.
func TestControllerMismatch(t *testing.T) {
	// A second of the same: 180 A together, 225 A match; 120 A continuous.
	wire := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "35 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`
	}
	two := func(amperes string) []rules.Edit {
		return ruletest.Edits("fuses.main.rated_A", amperes, "controllers.second", `{"min_V": 30, "max_V": 80, "battery_continuous_A": 60, "battery_peak_A": 90, "peak_s": 30}`,
			"wires.w_second", wire("main.b", "second.pos"), "wires.w_second_neg", wire("second.neg", "drive.neg"))
	}
	fixture.Play(t, controllerMismatch(), []ruletest.Scene{
		{Name: "fits", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100, Capability: 112.5}},
		{Name: "too large", Edits: ruletest.Edits("fuses.main.rated_A", "125"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "too small", Edits: ruletest.Edits("fuses.main.rated_A", "50"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Capability: 50}},
		{Name: "limit unknown", Edits: ruletest.Edits("controllers.drive.battery_peak_A", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "controllers.drive.battery_peak_A"}},
		{Name: "two controllers, their sum", Edits: two("160"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 160, Capability: 225}},
		{Name: "two controllers, too small", Edits: two("110"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 120, Capability: 110}},
		{Name: "not before a controller", Subject: "branch"},
	})
}
