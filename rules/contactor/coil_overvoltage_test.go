package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Full, 16 V x 24.09 / 24.15 = 15.96 V reach the coil.
func TestCoilOvervoltage(t *testing.T) {
	rule := coilOvervoltage()
	fixture.Play(t, rule, []ruletest.Scene{
		{
			Name: "at 20 C the limit is as stated",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 15.96, Capability: 20, Relative: 1e-3},
		},
		{
			Name:    "hotter, it falls", // 20 V sqrt((130 - 40) / (130 - 20))
			Replace: []string{"min: 20, max: 20", "min: 20, max: 40"},
			Want:    ruletest.Want{Verdict: rules.Passed, Capability: 18.091, Relative: 1e-4},
		},
		{
			Name:    "from the ambient that it is stated for", // 20 V sqrt((130 - 60) / (130 - 40))
			Replace: []string{"min: 20, max: 20", "min: 20, max: 60", "max_V: 20, resistance", "max_V: 20, max_V_valid_to_C: 40, resistance"},
			Want:    ruletest.Want{Verdict: rules.Passed, Capability: 17.638, Relative: 1e-4},
		},
		{
			Name:    "not within it",
			Replace: []string{"min: 20, max: 20", "min: 20, max: 60", "max_V: 20, resistance", "max_V: 20, max_V_valid_to_C: 85, resistance"},
			Want:    ruletest.Want{Verdict: rules.Passed, Capability: 20, Relative: 1e-9},
		},
		{
			Name:    "nor for an economiser",
			Replace: []string{"min: 20, max: 20", "min: 20, max: 60", "resistance_Ohm: 24, rise_K: 1", "drive: economiser, pickup_A: 3, hold_A: 0.3"},
			Want:    ruletest.Want{Verdict: rules.Passed, Capability: 20, Relative: 1e-9},
		},
		{
			Name:    "too much",
			Replace: []string{"max_V: 20", "max_V: 14"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Fix: "use a coil with max_V of at least 16 at 20 C that still pulls in when hot and at the lowest supply (operate_V of at most 9.9), or a coil with an economiser"},
		},
		{
			Name:    "the charger counts",
			Replace: []string{"controllers:", "chargers: {ch: {max_V: 18, max_A: 100, isolated: true}}\ncontrollers:", "modes:", "  cp: {from: ch.pos, to: b.pos, size: 35 mm2, length_m: 0.1}\n  cn: {from: ch.neg, to: b.neg, size: 35 mm2, length_m: 0.1}\nmodes:\n  charging: {closed: [key], connected: [ch]}"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 16.95, Relative: 2e-3, Message: "mode charging"}, // 16 V + 100 A x 10 mOhm, by 0.9976
		},
		{
			Name:    "no limit",
			Replace: []string{"max_V: 20, resistance", "resistance"},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.max_V"},
		},
		{
			Name:    "only in a mode that is not declared",
			Replace: []string{"closed: [key]", "closed: []"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
	})
}
