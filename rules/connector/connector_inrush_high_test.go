package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 3300 uF at 84 V hold 11.64 J. 8 mm at 0.1 m/s are 80 ms, 5.6 Ohm x 3300 uF 18.48 ms: 84 V
// exp(-80/18.48) = 1.107 V are left, and 2.02 mJ.
func TestInrushHigh(t *testing.T) {
	direct := ruletest.Edits("wires.w2.to", `"drive.pos"`, "wires.w3", "", "wires.w4", "")
	fixture.Play(t, inrushHigh(), []ruletest.Scene{
		{Name: "behind a contactor", Want: ruletest.Want{Verdict: rules.Passed, Message: "behind a contact"}},
		{Name: "straight onto the controller", Edits: direct, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 11.64, Capability: 0.1}},
		{Name: "with a resistor that mates first", Edits: append(direct, ruletest.Edits("connectors.plug.first_mate", `{"resistance_Ohm": 5.6, "lead_mm": 8}`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.0020226}},
		{Name: "capacitance not given", Edits: append(direct, ruletest.Edits("controllers.drive.capacitance_uF", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.capacitance_uF"}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
