package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestOrangeMissing(t *testing.T) {
	low := edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "58.4", "controllers.drive.min_V", "36", "converters.dcdc.input.min_V", "36")
	play(t, orangeMissing(),
		ruletest.Scene{Name: "orange", Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		ruletest.Scene{Name: "red", Edits: edits("wires.out.colour", `"red"`), Subject: "out", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		ruletest.Scene{Name: "red inside a box", Edits: edits("wires.out.colour", `"red"`, "wires.out.enclosed", "true"), Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		ruletest.Scene{Name: "black with an orange sleeve", Edits: edits("wires.out.colour", `"black, in orange conduit"`), Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		ruletest.Scene{Name: "no colour", Edits: edits("wires.out.colour", ""), Subject: "out", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "wires.out.colour"}},
		ruletest.Scene{Name: "all of them: the longest carries the finding", Edits: edits("wires.out.colour", `"red"`, "wires.on.colour", `"red"`), Subject: "on",
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "orange-missing/out"}},
		ruletest.Scene{Name: "the house network", Subject: "lamp_pos"},
		// 48 V systems: 16 LFP cells end at 58.4 V, and nothing there must be orange.
		ruletest.Scene{Name: "below 60 V", Edits: append(low, edit("wires.out.colour", `"red"`)), Subject: "out"},
		ruletest.Scene{Name: "48 V in name, 63 V at the end of charge", Edits: append(low, edit("wires.out.colour", `"red"`), edit("batteries.pack.max_V", "63")), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed}},
	)
}
