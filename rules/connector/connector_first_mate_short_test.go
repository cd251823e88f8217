package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 3 x 5.6 Ohm x 3300 uF = 55.44 ms, of 80 ms.
func TestFirstMateShort(t *testing.T) {
	resisted := ruletest.Edits("wires.w2.to", `"drive.pos"`, "wires.w3", "", "wires.w4", "", "connectors.plug.first_mate", `{"resistance_Ohm": 5.6, "lead_mm": 8}`)
	with := func(edits ...string) []rules.Edit {
		return append(resisted[:len(resisted):len(resisted)], ruletest.Edits(edits...)...)
	}
	fixture.Play(t, firstMateShort(), []ruletest.Scene{
		{Name: "long enough", Edits: resisted, Want: ruletest.Want{Verdict: rules.Passed, Demand: 55.44, Capability: 80}},
		{Name: "more resistance", Edits: with("connectors.plug.first_mate.resistance_Ohm", "20"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 198}},
		{Name: "capacitance not given", Edits: with("controllers.drive.capacitance_uF", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.capacitance_uF"}},
		{Name: "without a resistor"},
	})
}
