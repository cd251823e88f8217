package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBlockOverloaded(t *testing.T) {
	fixture.Play(t, blockOverloaded(), []ruletest.Scene{
		// With everything on lamp and horn draw what the converter limits at.
		{Name: "everything on", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 30, Relative: 1e-6, Message: "bar.lamp"}},
		{Name: "without the horn", Subject: "bar", Edits: ruletest.Edits("loads.horn", "", "wires.horn_pos", "", "wires.horn_neg", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30.0 / 13, Capability: 30, Relative: 0.07, Message: "bar.lamp"}},
		{Name: "a way is too small", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp.rated_A", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 25, Capability: 20, Relative: 1e-6, Message: "bar.lamp", Fix: "use a way rated at least"}},
		// What two ways bring leaves by the third: the bar carries their sum, 25 A, once and not twice.
		{Name: "the bar is too small", Subject: "bar", Edits: ruletest.Edits("wires.horn_neg.to", `"bar.free"`, "blocks.bar.rated_A", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 25, Capability: 20, Relative: 1e-6, Message: "bar: 25 A", Fix: "use a block rated at least"}},
		{Name: "not rated", Subject: "bar", Edits: ruletest.Edits("blocks.bar.rated_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "blocks.bar.rated_A"}},
		{Name: "nothing on it", Subject: "bar", Edits: ruletest.Edits("wires.bar_neg", "", "wires.lamp_neg", "")},
	})
}

func TestBlockVoltageLow(t *testing.T) {
	fixture.Play(t, blockVoltageLow(), []ruletest.Scene{
		{Name: "above the house network", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 60, Relative: 0.05}},
		{Name: "below it", Subject: "bar", Edits: ruletest.Edits("blocks.bar.rated_V_dc", "12"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 12, Fix: "use a block rated at least 14 V DC"}},
		{Name: "in the return of the pack", Subject: "bar", Edits: ruletest.Edits("wires.home.from", `"bar.free"`, "wires.back.to", `"bar.free"`, "wires.feed_neg.to", `"bar.free"`,
			"wires.lamp_neg.to", `"dcdc.out_neg"`, "wires.bar_neg", "", "blocks.bar.ways.free", "{}"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 110, Capability: 60}},
		{Name: "rated for AC alone", Subject: "bar", Edits: ruletest.Edits("blocks.bar.rated_V_dc", "", "blocks.bar.rated_V_ac", "250"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "250 V AC only"}},
		{Name: "not rated", Subject: "bar", Edits: ruletest.Edits("blocks.bar.rated_V_dc", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "blocks.bar.rated_V_dc"}},
	})
}

func TestClampSizeMismatch(t *testing.T) {
	fixture.Play(t, clampSizeMismatch(), []ruletest.Scene{
		{Name: "fits", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "too thick", Subject: "bar", Edits: ruletest.Edits("wires.lamp_neg.size", `"10 mm2"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "lamp_neg has 10 mm2"}},
		{Name: "too thin", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp.clamp", `{"min": "8 mm2", "max": "35 mm2"}`),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "holds 8 mm2 to 35 mm2"}},
		{Name: "two under one clamp", Subject: "bar", Edits: ruletest.Edits("wires.horn_neg.to", `"bar.lamp"`), Want: ruletest.Want{Verdict: rules.Failed, Message: "horn_neg and lamp_neg end on lamp"}},
		{Name: "two under a clamp for two", Subject: "bar", Edits: ruletest.Edits("wires.horn_neg.to", `"bar.lamp"`, "blocks.bar.ways.lamp.clamp.wires", "2"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a stud holds any lug", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp", `{"rated_A": 24}`)},
	})
}
