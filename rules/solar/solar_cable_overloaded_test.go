package solar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 1.25 x 1.25 x 9.5 A = 14.844 A.
func TestCableOverloaded(t *testing.T) {
	fixture.Play(t, cableOverloaded(), []ruletest.Scene{
		{Name: "thick enough", Want: ruletest.Want{Verdict: rules.Passed, Demand: 14.844}},
		{Name: "two strings on a thin lead", Edits: ruletest.Edits("solar.roof.in_parallel", "2", "solar.roof.cable.size", `"1 mm2"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 29.688}},
		{Name: "hotter than the insulation", Edits: ruletest.Edits("vehicle.ambient_C.max", "80", "solar.roof.cable.max_C", "70"), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "lead not given", Edits: ruletest.Edits("solar.roof.cable", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "solar.roof.cable"}},
		{Name: "insulation not given", Edits: ruletest.Edits("solar.roof.cable.max_C", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "solar.roof.cable.max_C"}},
	})
}
