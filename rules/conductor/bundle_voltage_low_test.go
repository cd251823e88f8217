package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBundleVoltageLow(t *testing.T) {
	together := ruletest.Edits("wires.out.bundle", `"loom"`)
	fixture.Play(t, bundleVoltageLow(), []ruletest.Scene{
		{Name: "one network", Subject: "lamp_pos", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no bundle", Subject: "out"},
		{Name: "with a wire of the pack", Edits: together, Subject: "lamp_neg", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 110, Capability: 60}},
		{Name: "one finding for the bundle", Edits: together, Subject: "lamp_pos", Want: ruletest.Want{Verdict: rules.Failed, Primary: "bundle-voltage-low/lamp_neg"}},
		{Name: "the pack's own wire", Edits: together, Subject: "out", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "rated for both", Edits: append(together, ruletest.Edits("wires.lamp_neg.insulation.rated_V", "600")...), Subject: "lamp_neg",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 110, Capability: 600}},
		{Name: "not rated", Edits: append(together, ruletest.Edits("wires.lamp_neg.insulation.rated_V", "")...), Subject: "lamp_neg",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "wires.lamp_neg.insulation.rated_V"}},
	})
}
