package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A converter of 220 uF right behind the disconnect: 10 mOhm of battery, 0.5 m of 35 mm2
// at 0.554 mOhm/m, 1 m of 4 mm2 at 5.09 mOhm/m and 1 mOhm of film capacitors are 16.4
// mOhm, with 1.5 m of 1 uH/m and 1 uH: zeta = 8.18 mOhm sqrt(220 uF / 2.5 uH) = 0.0767, so
// that it swings to 96 V (1 + 0.785) = 171.4 V.
func TestCapacitorsRingHigh(t *testing.T) {
	converter := func(input string) []string {
		return []string{"controllers:", "converters: {dc: {input: {min_V: 60, max_V: " + input + "}, output: {nominal_V: 12, continuous_A: 5}, isolated: true}}\ncontrollers:",
			"modes:", "  x1: {from: d.b, to: dc.in_pos, size: 4 mm2, length_m: 0.5}\n  x2: {from: dc.in_neg, to: b.neg, size: 4 mm2, length_m: 0.5}\nmodes:"}
	}
	rings := ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 171.4, Relative: 2e-3, Capability: 120}
	fixture.Play(t, capacitorsRingHigh(), []ruletest.Scene{
		{Name: "pre-charged", Subject: "c", Want: ruletest.Want{Verdict: rules.Passed, Relative: 2e-3, Demand: 96}},
		{Name: "film capacitors", Subject: "dc", Replace: converter("120, capacitance_uF: 220, esr_mOhm: 1"), Want: rings},
		{Name: "a little too high", Subject: "dc", Replace: converter("165, capacitance_uF: 220, esr_mOhm: 1"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 171.4, Relative: 0.01}},
		{Name: "electrolytic capacitors", Subject: "dc", Replace: converter("120, capacitance_uF: 220, esr_mOhm: 200"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not said which", Subject: "dc", Replace: converter("120, capacitance_uF: 220"), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dc.input.esr_mOhm"}},
		{Name: "made for it", Subject: "dc", Replace: converter("200, capacitance_uF: 220"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "unknown capacitance", Subject: "dc", Replace: converter("120"), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dc.input.capacitance_uF"}},
	})
}
