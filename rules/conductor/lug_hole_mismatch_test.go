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
		{Name: "10.5 mm on M8", Edits: hole("10.5"), Subject: "on", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "the M8 bolt of drive.pos"}}, // 60 A
		{Name: "the same at 10 A", Edits: append(hole("10.5"), ruletest.Edits("modes.roll.draw.drive.current_A", "10")...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "as wide as the nut", Edits: append(hole("16.5"), ruletest.Edits("studs.joint.thread", `"M16"`)...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "the nut of 13 mm has nothing to press on"}},
		{Name: "as wide as the nut, at 10 A", Edits: append(hole("16.5"), ruletest.Edits("studs.joint.thread", `"M16"`, "modes.roll.draw.drive.current_A", "10")...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "a lug for each end", Edits: ruletest.Edits("wires.on.lug_hole_from_mm", "10.5", "wires.on.lug_hole_to_mm", "8.4"), Subject: "on", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "one of them wrong", Edits: ruletest.Edits("wires.on.lug_hole_mm", "10.5", "wires.on.lug_hole_to_mm", "6.4"), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Failed, Message: "lug hole 6.4 mm; the M8 bolt of drive.pos"}},
		{Name: "a terminal of another thread", Edits: append(hole("10.5"), ruletest.Edits("controllers.drive.terminals", `{"pos": {"thread": "M10"}}`)...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "8.4 mm on M10", Edits: hole("8.4"), Subject: "on", Want: ruletest.Want{Verdict: rules.Failed, Message: "the M10 bolt of joint.stud"}},
		{Name: "13 mm on M12, DIN 46235", Edits: append(hole("13"), ruletest.Edits("controllers.drive.thread", `"M12"`, "studs.joint.thread", `"M12"`)...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no threads", Edits: append(hole("13"), ruletest.Edits("controllers.drive.thread", "", "studs.joint.thread", "")...), Subject: "on",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.thread"}},
	})
}
