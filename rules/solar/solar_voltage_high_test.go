package solar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 2 x 22.3 V x (1 + 0.30 % x 45 K) = 50.621 V at -20 C.
func TestVoltageHigh(t *testing.T) {
	fixture.Play(t, voltageHigh(), []ruletest.Scene{
		{Name: "within the regulator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 50.621, Capability: 60}},
		{Name: "a regulator for 50 V", Edits: ruletest.Edits("solar.roof.regulator.max_pv_V", "50"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 50.621, Capability: 50, Fix: "at most 1 modules"}},
		{Name: "a lead for 50 V", Edits: ruletest.Edits("solar.roof.cable.rated_V", "50"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 50.621, Capability: 50}},
		// 44.6 V x 1.18 = 52.628 V, as by the table of the code.
		{Name: "coefficient not given", Edits: ruletest.Edits("solar.roof.percent_per_K", ""), Want: ruletest.Want{Verdict: rules.Passed, Demand: 52.628}},
		{Name: "in the warm", Edits: ruletest.Edits("vehicle.ambient_C.min", "25", "solar.roof.regulator.max_pv_V", "50"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 44.6}},
		{Name: "a spare", Edits: ruletest.Edits("solar.roof.spare", "true")},
	})
}
