package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPrechargeVoltageLow(t *testing.T) {
	fixture.Play(t, prechargeVoltageLow(), []ruletest.Scene{
		{Name: "plain", Want: ruletest.Want{Verdict: rules.Passed, Demand: 96, Capability: 500}},
		{Name: "made for 90 V", Replace: []string{"max_V: 500", "max_V: 90"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 96, Capability: 90}},
		// Of 100 and 50 Ohm in series the first takes two thirds.
		{Name: "two in series", Replace: []string{"max_V: 500}", "max_V: 90}, r3: {role: precharge, resistance_Ohm: 50}",
			"r2: {from: r.b, to: k.b,", "r2: {from: r3.b, to: k.b,", "modes:", "  r4: {from: r.b, to: r3.a, size: 1.5 mm2, length_m: 0.1}\nmodes:"},
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 64}},
		{Name: "unknown", Replace: []string{", max_V: 500", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.max_V"}},
	})
}
