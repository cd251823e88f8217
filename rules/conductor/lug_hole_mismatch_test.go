package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLugHoleMismatch(t *testing.T) {
	hole := func(mm string) []rules.Edit { return ruletest.Edits("wires.on.lug_hole_mm", mm) }
	// From joint, M10, to drive, M8.
	same := append(hole("10.5"), ruletest.Edits("controllers.drive.thread", `"M10"`)...)
	fixture.Play(t, lugHoleMismatch(), []ruletest.Scene{
		{Name: "no hole stated", Subject: "on"},
		{Name: "10.5 mm on M10, DIN 46235", Edits: same, Subject: "on", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "10.5 mm on M8", Edits: hole("10.5"), Subject: "on", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "the M8 bolt of drive.pos"}},
		{Name: "8.4 mm on M10", Edits: hole("8.4"), Subject: "on", Want: ruletest.Want{Verdict: rules.Failed, Message: "the M10 bolt of joint.stud"}},
		{Name: "13 mm on M12, DIN 46235", Edits: append(hole("13"), ruletest.Edits("controllers.drive.thread", `"M12"`, "studs.joint.thread", `"M12"`)...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no threads", Edits: append(hole("13"), ruletest.Edits("controllers.drive.thread", "", "studs.joint.thread", "")...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.thread"}},
	})
}
