package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBondResistanceHigh(t *testing.T) {
	fixture.Play(t, bondResistanceHigh(), []ruletest.Scene{
		// 0.03 Ohm to the frame, 0.04 Ohm from there.
		{Name: "the sum of the way", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.07, Capability: 0.1}},
		{Name: "each for itself would do", Subject: "drive", Edits: ruletest.Edits("bonds.case_frame.resistance_Ohm", "0.08"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 0.11}},
		{Name: "not measured", Subject: "dcdc", Edits: ruletest.Edits("bonds.case_dcdc.resistance_Ohm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "bonds.case_dcdc.resistance_Ohm"}},
		{Name: "no bond", Subject: "dcdc", Edits: ruletest.Edits("bonds.case_dcdc", "")},
	})
}
