package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPhaseCablePeakHot(t *testing.T) {
	fixture.Play(t, phaseCablePeakHot(), []ruletest.Scene{
		{Name: "it does not last", Subject: "u", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "it lasts", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_peak_s", "1800", "controllers.drive.phase_peak_A", "220"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1800}},
		{Name: "a cable that carries the peak continuously", Subject: "u", Edits: ruletest.Edits("wires.u.size", `"70 mm2"`, "controllers.drive.phase_peak_s", "1800"),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "continuously"}},
		{Name: "too thin already", Subject: "u", Edits: ruletest.Edits("wires.u.size", `"6 mm2"`),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "phase-cable-overloaded/u"}},
		{Name: "its time is not stated", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_peak_s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
		{Name: "a cable of the battery", Subject: "w2"},
	})
}
