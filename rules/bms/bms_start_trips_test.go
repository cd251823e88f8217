package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 58.4 V onto 1000 uF through 30 mOhm and 3 uH are 738 A (WF16); here the loop has 1 uH of
// conductors alone, and more comes: 1091 A with 1 uH. The wave is nearly gone in pi sqrt(L C) = 100 us
// with 1 uH, 170 us with 3 uH, and above 400 A for 100 us of it.
func TestStartTrips(t *testing.T) {
	direct := ruletest.Edits("wires.w2.to", `"drive.pos"`, "wires.w3", "")
	with := func(edits ...string) []rules.Edit {
		return append(direct[:len(direct):len(direct)], ruletest.Edits(edits...)...)
	}
	fixture.Play(t, startTrips(), []ruletest.Scene{
		{Name: "behind a contactor", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "straight onto the controller", Edits: with("batteries.pack.bms.short_trip_us", "50"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 104, Capability: 50, Relative: 0.02}},
		{Name: "for less than it takes to trip", Edits: direct, Want: ruletest.Want{Verdict: rules.Passed, Demand: 104, Capability: 200, Relative: 0.02}},
		{Name: "how long it takes not given", Edits: with("batteries.pack.bms.short_trip_us", ""), Want: ruletest.Want{Verdict: rules.Failed, Demand: 1091, Capability: 400, Relative: 0.01}},
		{Name: "trips at more", Edits: with("batteries.pack.bms.short_trip_A", "1200"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 1091, Capability: 1200, Relative: 0.01}},
		{Name: "its own pre-charge", Edits: with("batteries.pack.bms.precharge", `{"ohm": 50, "uF_max": 2000, "s": 0.5}`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "its own pre-charge too small", Edits: with("batteries.pack.bms.precharge", `{"ohm": 50, "uF_max": 500, "s": 0.5}`, "batteries.pack.bms.short_trip_us", "50"), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "the controller limits itself", Edits: with("controllers.drive.internal_precharge", "true"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not given", Edits: with("batteries.pack.bms.short_trip_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.short_trip_A"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
