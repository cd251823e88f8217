package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorDropsUnderLoad(t *testing.T) {
	rule := contactorDropsUnderLoad()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within", Want: ruletest.Want{Verdict: rules.Passed, Level: rules.Error, Demand: 150, Capability: 400, Relative: 1e-9}},
		{
			Name:    "the modes are within, the peak is not",
			Replace: []string{"A: 400, operations", "A: 100, operations"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 150, Capability: 100, Relative: 1e-9, Fix: "150 A at 16 V DC"},
		},
		{
			Name:    "follows from a mode that is not",
			Replace: []string{"A: 400, operations", "A: 40, operations"},
			Want:    ruletest.Want{Verdict: rules.Failed, Primary: "contactor-break-low/k"},
		},
		{
			Name:    "driven backwards through a polarized contact",
			Replace: []string{"to: k.a,", "to: k.b,", "load: {from: k.b,", "load: {from: k.a,", "make_A", "polarized: true, reverse_break_A: 60, make_A"},
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 150, Capability: 60, Relative: 1e-9, Primary: "contactor-break-reverse-low/k"},
		},
		{Name: "unknown peak", Replace: []string{"battery_peak_A: 150, peak_s: 30, ", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.battery_peak_A"}},
	})
}
