package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestClampSizeMismatch(t *testing.T) {
	fixture.Play(t, clampSizeMismatch(), []ruletest.Scene{
		{Name: "fits", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "too thick", Subject: "bar", Edits: ruletest.Edits("wires.lamp_neg.size", `"10 mm2"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "lamp_neg has 10 mm2"}},
		{Name: "too thin", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp.clamp", `{"min": "8 mm2", "max": "35 mm2"}`),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "holds 8 mm2 to 35 mm2"}},
		{Name: "limits exchanged", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp.clamp", `{"min": "35 mm2", "max": "4 mm2"}`),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "of which the first is the larger", Fix: "exchange min and max"}},
		{Name: "limits exchanged where nothing ends", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.free.clamp", `{"min": "35 mm2", "max": "4 mm2"}`),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "the clamp of free"}},
		{Name: "two under one clamp", Subject: "bar", Edits: ruletest.Edits("wires.horn_neg.to", `"bar.lamp"`), Want: ruletest.Want{Verdict: rules.Failed, Message: "horn_neg and lamp_neg end on lamp"}},
		{Name: "two under a clamp for two", Subject: "bar", Edits: ruletest.Edits("wires.horn_neg.to", `"bar.lamp"`, "blocks.bar.ways.lamp.clamp.wires", "2"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a stud holds any lug", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp", `{"rated_A": 24}`)},
	})
}
