package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// In 20 s main may open at 135 (200/135)^x A with x = ln(20/300)/ln(4/300) =
// 0.6272: 172.7 A. Its cyclic limit is 0.60 x 0.97 x 172.7 A = 100.5 A.
func TestFatigued(t *testing.T) {
	strong := ruletest.Edits("controllers.drive.battery_peak_A", "130", "controllers.drive.battery_continuous_A", "130")
	with := func(current string) []rules.Edit {
		return append(ruletest.Edits("modes.climb.draw.drive.current_A", current), strong...)
	}
	fixture.Play(t, fatigued(), []ruletest.Scene{
		{Name: "far below", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Mode: "climb", Demand: 80, Capability: 100.5}},
		{Name: "near", Edits: with("110"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "climb", Demand: 110, Capability: 100.5}},
		{Name: "a step of the cycle", Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "climb", Demand: 110, Capability: 100.5, Message: "repeated 110 A peaks of 20 s every 60 s in mode climb, cyclic limit 100.5 A"},
			Edits: ruletest.Edits("controllers.drive.battery_peak_A", "130", "controllers.drive.battery_continuous_A", "130", "modes.climb.draw.drive.current_A", "110", "cycle", `[{"mode": "climb", "for_s": 20}, {"mode": "off", "for_s": 40}]`)},
		{Name: "once", Edits: ruletest.Edits("modes.climb.every_s", "", "modes.climb.draw.drive.current_A", "89"), Subject: "main"},
		{Name: "shortest times not known", Edits: append(with("110"), ruletest.Edits("fuses.main.opening.min", "", "fuses.main.class", `"other"`)...), Subject: "main",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.opening.min"}},
		{Name: "follows from opening", Edits: with("180"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuse-opens-in-use/main"}},
		// 0.60 of a blade's 110 % is 0.64 I_n, less than the 0.776 I_n that it carries
		// continuously: the greater counts.
		{Name: "what it carries continuously", Edits: ruletest.Edits("modes.house.lasts_s", "20", "modes.house.every_s", "60", "loads.pilot.power_W", "48"),
			Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Capability: 3.88}},
	})
}
