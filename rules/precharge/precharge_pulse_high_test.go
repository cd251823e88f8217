package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPrechargePulseHigh(t *testing.T) {
	fixture.Play(t, prechargePulseHigh(), []ruletest.Scene{
		{Name: "plain", Want: ruletest.Want{Verdict: rules.Passed, Demand: 21.6576, Capability: 300}},
		{Name: "a small resistor", Replace: []string{"pulse_J: 300", "pulse_J: 20"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 21.6576, Capability: 20}},
		// With d = 0.9 and tau = 0.423 s, in 3 s: 92.16 W (0.01 x 3 s + 0.18 x 0.423 s (1 -
		// exp(-7.092)) + 0.81 x 0.2115 s (1 - exp(-14.18))) = 25.565 J.
		{Name: "a bleed draws through it", Replace: bleed("0.9"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 25.565}},
		{Name: "unknown pulse", Replace: []string{", pulse_J: 300", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.pulse_J"}},
		{Name: "unknown capacitance", Replace: []string{", capacitance_uF: 4700", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.capacitance_uF"}},
		{Name: "a resistor elsewhere", Subject: "r9", Replace: []string{"resistors: {", "resistors: {r9: {role: precharge, resistance_Ohm: 10, spare: true}, "}},
	})
}
