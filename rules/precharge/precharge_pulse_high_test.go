package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

func TestPrechargePulseHigh(t *testing.T) {
	run(t, prechargePulseHigh(), []benchCase{
		{name: "plain", verdict: rules.Passed, demand: 21.6576, capability: 300},
		{name: "a small resistor", change: []string{"pulse_J: 300", "pulse_J: 20"}, verdict: rules.Failed, level: rules.Error, demand: 21.6576, capability: 20},
		// With d = 0.9 and tau = 0.423 s, in 3 s: 92.16 W (0.01 x 3 s + 0.18 x 0.423 s (1 -
		// exp(-7.092)) + 0.81 x 0.2115 s (1 - exp(-14.18))) = 25.565 J.
		{name: "a bleed draws through it", change: bleed("0.9"), verdict: rules.Passed, demand: 25.565},
		{name: "unknown pulse", change: []string{", pulse_J: 300", ""}, verdict: rules.NotChecked, missing: "resistors.r.pulse_J"},
		{name: "unknown capacitance", change: []string{", capacitance_uF: 4700", ""}, verdict: rules.NotChecked, missing: "controllers.c.capacitance_uF"},
		{name: "a resistor elsewhere", subject: "r9", change: []string{"resistors: {", "resistors: {r9: {role: precharge, resistance_Ohm: 10, spare: true}, "}, silent: true},
	})
}
