package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The loop: 10 mOhm of battery and 3 x 0.554 mOhm of 35 mm2 are 11.66 mOhm, with
// 1.5 uH and 1000 uF: damping a = 3887/s, w_0 = 25820/s, the first peak after 55.6 us is
// 20.80 A for each volt (V/R would be 85.7).
func TestContactorMakeLow(t *testing.T) {
	rule := contactorMakeLow()
	const perVolt = 20.7998
	precharge := func(ohm string) []string {
		return []string{"controllers:", "resistors: {r: {role: precharge, resistance_Ohm: " + ohm + ", permanent: true}}\ncontrollers:",
			"modes:", "  r1: {from: k.a, to: r.a, size: 1.5 mm2, length_m: 0.1}\n  r2: {from: r.b, to: k.b, size: 1.5 mm2, length_m: 0.1}\nmodes:"}
	}
	after := func(s string) []string {
		return []string{"    coil: {nominal_V", "    closes_after_s: " + s + "\n    coil: {nominal_V"}
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{
			Name: "onto empty capacitors",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 16 * perVolt, Capability: 300, Relative: 1e-3, Primary: "precharge-missing/c"},
		},
		{
			// 96 V, one time constant leaves 35.316 V; the loop of 9.25 mOhm lets 21.6848 A
			// through for each.
			Name: "residual inrush after one time constant",
			Replace: join(precharge("100"), after("0.1"), []string{
				"min_V: 10, nominal_V: 12, max_V: 16", "min_V: 60, nominal_V: 80, max_V: 96", "{min: 10, typ: 10, max: 10}", "{min: 7.588, typ: 10, max: 10}"}),
			// The policy's 10 % are less than what 300 A leave: 2.303 time constants.
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 35.3164 * 21.6848, Relative: 1e-3, Fix: "raise closes_after_s of k from 0.1 to 0.3"},
		},
		{
			// RC = 0.1 s; after 1 s nothing is left.
			Name:    "long enough",
			Replace: join(precharge("100"), after("1")),
			Want:    ruletest.Want{Verdict: rules.AsDeclared, Demand: 16 * perVolt * 4.54e-5, Relative: 1e-3},
		},
		{
			Name: "in the negative side as well",
			Replace: join(precharge("100"), after("1"), []string{
				"from: b.pos, to: k.a", "from: b.pos, to: c.pos", "load: {from: k.b, to: c.pos", "load: {from: k.b, to: b.neg", "back: {from: c.neg, to: b.neg", "back: {from: c.neg, to: k.a"}),
			Want: ruletest.Want{Verdict: rules.AsDeclared, Demand: 16 * perVolt * 4.54e-5, Relative: 1e-3},
		},
		{
			// 900 Ohm of bleed behind 100 Ohm: it settles at 14.4 V, 1.6 V are left.
			Name:    "a bleed resistor leaves a rest",
			Replace: join(precharge("100"), after("5"), []string{"capacitance_uF: 1000", "capacitance_uF: 1000, bleed_kOhm: 0.9"}),
			Want:    ruletest.Want{Verdict: rules.AsDeclared, Demand: 1.6 * perVolt, Relative: 1e-3},
		},
		{
			Name: "something else draws while it charges",
			Replace: join(precharge("100"), after("5"), []string{"controllers:", "converters: {d: {input: {min_V: 5, max_V: 30, capacitance_uF: 100, standby_mA: 30}, output: {nominal_V: 12, continuous_A: 5}, isolated: true}}\ncontrollers:",
				"modes:", "  d1: {from: c.pos, to: d.in_pos, size: 1.5 mm2, length_m: 0.1}\n  d2: {from: c.neg, to: d.in_neg, size: 1.5 mm2, length_m: 0.1}\nmodes:"}),
			// Its 30 mA leave 3 V across 100 Ohm; 1100 uF take 21.61 A for each.
			Want: ruletest.Want{Verdict: rules.AsDeclared, Demand: 3 * 21.6060, Relative: 2e-3, Primary: "precharge-stalls/k"},
		},
		{
			// At 90 % of 16 V, whatever that takes.
			Name:    "waits for a voltage",
			Replace: join(precharge("100"), []string{"    coil: {nominal_V", "    closes_at: {part: c, percent: 90}\n    coil: {nominal_V"}),
			Want:    ruletest.Want{Verdict: rules.AsDeclared, Demand: 1.6 * perVolt, Relative: 2e-3},
		},
		{
			Name: "waits for a voltage that never comes",
			Replace: join(precharge("100"), []string{"    coil: {nominal_V", "    closes_at: {part: c, percent: 95}\n    coil: {nominal_V",
				"capacitance_uF: 1000", "capacitance_uF: 1000, bleed_kOhm: 0.9"}),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a pre-charge that comes to its end", Primary: "precharge-stalls/k"},
		},
		{
			// The second one, in the negative side, does not wait: it closes while only the
			// resistor feeds the capacitors, 16 V over 100 Ohm.
			Name:    "one that closes before the pre-charged one",
			Subject: "k2",
			Replace: join(precharge("100"), after("1"), []string{
				"contactors:", "contactors:\n  k2: {contact: {carry_A: 100, make_A: 300}, coil: {nominal_V: 12, operate_V: 6.5, release_V: 1.2, resistance_Ohm: 24}}",
				"back: {from: c.neg, to: b.neg,", "back: {from: c.neg, to: k2.a,",
				"modes:", "  n1: {from: k2.b, to: b.neg, size: 35 mm2, length_m: 1}\n  n2: {from: key.p_b, to: k2.coil_pos, size: 1 mm2, length_m: 1}\n  n3: {from: k2.coil_neg, to: b.neg, size: 1 mm2, length_m: 1}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.16, Relative: 2e-3},
		},
		{
			// A second pack on a contactor of its own that closes with the same key: the
			// one that is first, which nobody can tell, charges the capacitors by itself.
			Name:    "a second pack whose contactor closes at the same time",
			Replace: secondPack(""),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 16 * perVolt, Relative: 1e-3, Primary: "precharge-missing/c"},
		},
		{
			Name:    "the contactor of that second pack",
			Subject: "k2",
			Replace: secondPack(""),
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 16 * perVolt, Relative: 1e-3, Primary: "precharge-missing/c"},
		},
		{
			// It waits for the first one: the capacitors are charged when it closes.
			Name:    "a second pack that is connected to a live bus",
			Subject: "k2",
			Replace: secondPack("closes_after_s: 2, "),
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "a controller that limits its own inrush",
			Replace: []string{"capacitance_uF: 1000", "capacitance_uF: 1000, internal_precharge: true"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "unknown delay",
			Replace: precharge("100"),
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.closes_after_s"},
		},
		{
			Name:    "unknown capacitance",
			Replace: join(precharge("100"), after("1"), []string{", capacitance_uF: 1000", ""}),
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.capacitance_uF"},
		},
		{
			Name:    "unknown battery",
			Replace: []string{", resistance_mOhm: {min: 10, typ: 10, max: 10}", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.b.resistance_mOhm"},
		},
		{
			Name:    "no rating",
			Replace: []string{"make_A: 300, ", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.make_A"},
		},
		{
			// A cold filament of 12 W at 12 V on 16 V: 1.333 A, ten times.
			Name:    "a filament lamp",
			Replace: []string{"load: {from: k.b, to: c.pos,", "load: {from: k.b, to: l.pos,", "back: {from: c.neg,", "back: {from: l.neg,", "controllers:", "loads: {l: {kind: filament, power_W: 12, at_V: 12}}\ncontrollers:", "draw: {c: {current_A: 50}}", "on: [l]"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 13.33, Relative: 2e-3},
		},
	})
	t.Run("a motor counts with its stalled current", func(t *testing.T) {
		r := ruletest.Verdict(t, ruletest.On(t, rule, "badger"), "pump_contactor", rules.Passed)
		if r.Demand.Value != 180 {
			t.Errorf("closes on %v, want 180 A", r.Demand)
		}
	})
	t.Run("the pre-charge relay closes through its resistor", func(t *testing.T) {
		// 84 V / 100 Ohm and the loop.
		r := ruletest.Verdict(t, ruletest.On(t, rule, "heron"), "soft_relay", rules.Passed)
		if r.Demand.Value < 0.83 || r.Demand.Value > 0.84 {
			t.Errorf("closes on %v, want 0.84 A", r.Demand)
		}
	})
}

// secondPack changes the fixture: the same pack once more, through k2 to the controller.
func secondPack(delay string) []string {
	return []string{
		"batteries: {b:", "batteries: {b2: {role: traction, min_V: 10, nominal_V: 12, max_V: 16, resistance_mOhm: {min: 10, typ: 10, max: 10}}, b:",
		"contactors:", "contactors:\n  k2: {" + delay + "contact: {carry_A: 100, make_A: 300}, coil: {nominal_V: 12, operate_V: 6.5, release_V: 1.2, resistance_Ohm: 24}}",
		"modes:", "  s1: {from: b2.pos, to: k2.a, size: 35 mm2, length_m: 1}\n  s2: {from: k2.b, to: k.b, size: 35 mm2, length_m: 0.0001}\n  s3: {from: b2.neg, to: b.neg, size: 35 mm2, length_m: 0.0001}\n" +
			"  n2: {from: key.p_b, to: k2.coil_pos, size: 1 mm2, length_m: 1}\n  n3: {from: k2.coil_neg, to: b.neg, size: 1 mm2, length_m: 1}\nmodes:",
	}
}
