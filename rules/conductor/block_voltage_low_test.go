package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

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

// Between two phases stands the whole voltage of the pack.
func TestBlockVoltageInPhase(t *testing.T) {
	results := ruletest.On(t, blockVoltageLow(), "mole", ruletest.Edits("blocks.joint", `{"rated_A": 40, "rated_V_dc": 12, "ways": {"i": {}, "o": {}}}`, "wires.w_phase_u.to", `"joint.i"`, "wires.w_far", `{"from": "joint.o", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)...)
	ruletest.Expect(t, results, "joint", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 58.4, Capability: 12, Relative: 0.05})
}
