package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A coil is named by the voltage on sale that is nearest to its supply.
func TestUsualNominal(t *testing.T) {
	for supply, want := range map[float64]float64{12: 12, 13.8: 12, 25.6: 24, 48: 48, 51.2: 48, 72: 72, 76.8: 80, 80: 80, 96: 96, 200: 200} {
		if got := usualNominal(supply); got != want {
			t.Errorf("%g V: a coil for %g V, want %g V", supply, got, want)
		}
	}
}

func TestCoilNominalMismatch(t *testing.T) {
	rule := coilNominalMismatch()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "12 V on 12 V", Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "24 V on 12 V",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 24, operate_V: 18", "max_V: 20", "max_V: 28"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "rated 24 V nominal, fed from b at 12 V nominal (-50 %)", Fix: "rated 12 V nominal"},
		},
		{
			Name:    "24 V on a battery of 12.8 V is to be one for 12 V, which is on sale",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 24, operate_V: 18", "max_V: 20", "max_V: 28", "nominal_V: 12, max_V", "nominal_V: 12.8, max_V"},
			Want:    ruletest.Want{Verdict: rules.Failed, Message: "at 12.8 V nominal", Fix: "use a coil rated 12 V nominal"},
		},
		{
			Name:    "6 V on 12 V",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 6, operate_V: 4", "max_V: 20", "max_V: 8"},
			Want:    ruletest.Want{Verdict: rules.Failed},
		},
		{
			Name:    "a coil of 9 to 36 V is right on 12 V",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 24, operate_V: 9", "max_V: 20", "max_V: 36"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			// A 6 V coil of 24 Ohm behind 24 Ohm: 6 V, less the path.
			Name: "a dropper resistor makes it right",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 6, operate_V: 3", "max_V: 20", "max_V: 8",
				"controllers:", "resistors: {r: {role: dropper, resistance_Ohm: 24}}\ncontrollers:",
				"  coil: {from: key.p_b,", "  coil0: {from: key.p_b, to: r.a, size: 1.5 mm2, length_m: 1}\n  coil: {from: r.b,"},
			Want: ruletest.Want{Verdict: rules.Passed, Message: "at 5.9"},
		},
		{
			// A 12 V coil on a 24 V charger, which feeds it while it is plugged in.
			Name: "fed by a charger alone",
			Replace: []string{"feed: {from: b.pos", "feed: {from: ch.pos", "ret: {from: k.coil_neg, to: b.neg", "ret: {from: k.coil_neg, to: ch.neg",
				"controllers:", "chargers: {ch: {max_V: 24, max_A: 5, isolated: true}}\ncontrollers:",
				"modes:", "modes:\n  charging: {closed: [key], connected: [ch]}"},
			Want: ruletest.Want{Verdict: rules.Failed, Message: "fed from ch at 24 V"},
		},
		{
			Name: "a charger that no mode connects feeds it once it is plugged in",
			Replace: []string{"feed: {from: b.pos", "feed: {from: ch.pos", "ret: {from: k.coil_neg, to: b.neg", "ret: {from: k.coil_neg, to: ch.neg",
				"controllers:", "chargers: {ch: {max_V: 24, max_A: 5, isolated: true}}\ncontrollers:",
				"modes:", "modes:\n  charging: {closed: [key]}"},
			Want: ruletest.Want{Verdict: rules.Failed, Message: "fed from ch at 24 V"},
		},
		{
			Name:    "only in a mode that is not declared",
			Replace: []string{"closed: [key]", "closed: []"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
	})
}
