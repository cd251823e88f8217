package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBusbarOverloaded(t *testing.T) {
	// 25 x 5 mm, 50 K above 40 C: 426.7 A by the formula of the Copper Development
	// Association's Publication 22 (worked example), which its table tops by 6 to 9 %.
	const published = 426.69
	fixture.Play(t, busbarOverloaded(), []ruletest.Scene{
		{Name: "well below", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 200, Capability: published}},
		{Name: "above", Subject: "bar", Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "450"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 450, Capability: published, Fix: "use a bar of 30 x 5 mm"}},
		// sqrt((700^2 60 + 100^2 60) / 120) = 500 A.
		{Name: "in the mean of the cycle", Subject: "bar", Edits: ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": 60}, {"mode": "roll", "for_s": 60}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 500}},
		// A bar shorter than 2/m is cooled by what it joins, and the formula is for
		// long ones.
		{Name: "a short bar", Subject: "bar", Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "450", "busbars.bar.length_mm", "80"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "its terminals carry off the heat"}},
		{Name: "a short bar between terminals that state their limit", Subject: "bar",
			Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "450", "busbars.bar.length_mm", "80", "fuses.main.terminal_max_C", "90", "studs.joint.terminal_max_C", "90"),
			Want:  ruletest.Want{Verdict: rules.Passed}},
		{Name: "a wire is another rule's", Subject: "tap"},
		{Name: "no modes", Subject: "bar", Edits: ruletest.Edits("modes", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
	})
}
