package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestOrangeMissing(t *testing.T) {
	low := ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "58.4", "controllers.drive.min_V", "36", "converters.dcdc.input.min_V", "36")
	fixture.Play(t, orangeMissing(), []ruletest.Scene{
		{Name: "orange", Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "red", Edits: ruletest.Edits("wires.out.colour", `"red"`), Subject: "out", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "red inside a box", Edits: ruletest.Edits("wires.out.colour", `"red"`, "wires.out.enclosed", "true"), Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "black with an orange sleeve", Edits: ruletest.Edits("wires.out.colour", `"black, in orange conduit"`), Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no colour", Edits: ruletest.Edits("wires.out.colour", ""), Subject: "out", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "wires.out.colour"}},
		{Name: "all of them: the longest carries the finding", Edits: ruletest.Edits("wires.out.colour", `"red"`, "wires.on.colour", `"red"`), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "orange-missing/out"}},
		{Name: "the house network", Subject: "lamp_pos"},
		// 48 V systems: 16 LFP cells end at 58.4 V, and nothing there must be orange.
		{Name: "below 60 V", Edits: append(low, ruletest.Edits("wires.out.colour", `"red"`)...), Subject: "out"},
		{Name: "48 V in name, 63 V at the end of charge", Edits: append(low, ruletest.Edits("wires.out.colour", `"red"`, "batteries.pack.max_V", "63")...), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed}},
	})
}
