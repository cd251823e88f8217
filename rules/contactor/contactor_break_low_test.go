package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorBreakLow(t *testing.T) {
	rule := contactorBreakLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within", Want: ruletest.Want{Verdict: rules.Passed, Demand: 50, Capability: 400, Relative: 1e-6, Message: "(50 operations)"}},
		{Name: "above", Replace: []string{"A: 400, operations", "A: 40, operations"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Fix: "50 A at 16 V DC"}},
		{
			Name:    "regeneration that no mode declares",
			Replace: []string{"battery_peak_A: 150", "battery_peak_A: 150, regen_A: 220", "break: [{V: 16, A: 400, operations: 50}]", "break: [{V: 20, A: 200}]"},
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 220, Capability: 200, Relative: 1e-9, Message: "brakes"},
		},
		{
			Name:    "a rating at a lower voltage says nothing",
			Replace: []string{"break: [{V: 16,", "break: [{V: 12,"},
			Want:    ruletest.Want{Verdict: rules.Failed, Message: "no breaking capacity is given at the 16 V"},
		},
		{
			Name:    "which is because the contact is made for less",
			Replace: []string{"break: [{V: 16,", "break: [{V: 12,", "    contact: {carry_A: 100, rated_V_dc: 60", "    contact: {carry_A: 100, rated_V_dc: 12"},
			Want:    ruletest.Want{Verdict: rules.Failed, Primary: "contactor-voltage-low/k"},
		},
		{
			Name:    "the rating that covers the voltage counts",
			Replace: []string{"break: [{V: 16, A: 400, operations: 50}]", "break: [{V: 12, A: 400}, {V: 24, A: 60}, {V: 48, A: 20}]"},
			Want:    ruletest.Want{Verdict: rules.Passed, Capability: 60, Relative: 1e-9},
		},
		{
			Name:    "of a polarized one the forward current alone",
			Replace: []string{"make_A", "polarized: true, reverse_break_A: 10, make_A", "current_A: 50", "regen_A: 60", "battery_continuous_A: 80", "battery_continuous_A: 1", "A: 400, operations", "A: 20, operations"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{Name: "no rating", Replace: []string{", break: [{V: 16, A: 400, operations: 50}]", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.break"}},
	})
}
