package motor

import (
	"strings"
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
		{Name: "its current is not stated beside its time", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_peak_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_A"}},
		{Name: "its current is not stated beside a peak of the battery's", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_peak_A", "", "controllers.drive.phase_peak_s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_A"}},
		{Name: "a controller without a peak", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_peak_A", "", "controllers.drive.phase_peak_s", "", "controllers.drive.battery_peak_A", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a cable of the battery", Subject: "w2"},
	})
}

// What the fix proposes passes: the cable, and the current.
func TestPhaseCablePeakFix(t *testing.T) {
	edits := ruletest.Edits("controllers.drive.phase_peak_A", "320", "controllers.drive.phase_peak_s", "60")
	fix := fixture.On(t, phaseCablePeakHot(), edits...)["u"].Fix
	current, ok := strings.CutPrefix(fix, "use at least 35 mm2 for u, or set the peak phase current of drive to at most ")
	current, ok2 := strings.CutSuffix(current, " A rms")
	if !ok || !ok2 {
		t.Fatalf("fix %q", fix)
	}
	fixture.Play(t, phaseCablePeakHot(), []ruletest.Scene{
		{Name: "with the current", Subject: "u", Edits: append(edits, ruletest.Edits("controllers.drive.phase_peak_A", current)...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "as it is", Subject: "u", Edits: edits, Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "with the cable", Subject: "u", Edits: append(edits, ruletest.Edits("wires.u.size", `"35 mm2"`)...), Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
