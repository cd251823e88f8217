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
