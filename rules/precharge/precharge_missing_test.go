package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The loop: 10 mOhm of battery and 2 m of 35 mm2 at 0.554 mOhm/m (IEC 60228 class 5) are
// 11.108 mOhm, with 1 uH: 96 V sqrt(4700 uF / 1 uH) exp(-a t_p), a = 5554/s and w_0 =
// 14586/s, is 4048 A after 88 us; V/R would be 8643 A.
func TestPrechargeMissing(t *testing.T) {
	const inrush = 4048.2
	fixture.Play(t, prechargeMissing(), []ruletest.Scene{
		{Name: "with a resistor around the contactor", Subject: "c", Want: ruletest.Want{Verdict: rules.Passed, Message: "r charges"}},
		{Name: "without", Subject: "c", Replace: noResistor, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: inrush, Capability: 600,
			// 96 Ohm x 4.7 mF x 2.303 = 1.04 s by the policy; 21.66 J.
			Fix: "such as 96 Ohm rated at least 96 W continuous and 22 J in a pulse, and set closes_after_s of k to at least 1.1"}},
		{Name: "the controller has its own", Subject: "c", Replace: join(noResistor, []string{"capacitance_uF: 4700", "capacitance_uF: 4700, internal_precharge: true"}),
			Want: ruletest.Want{Verdict: rules.AsDeclared, Message: "limits the inrush"}},
		{Name: "a contact made for it", Subject: "c", Replace: join(noResistor, []string{"make_A: 600", "make_A: 9000"}), Want: ruletest.Want{Verdict: rules.Passed, Demand: inrush}},
		{Name: "how much does not matter", Subject: "c", Replace: join(noResistor, []string{", capacitance_uF: 4700", ""}), Want: ruletest.Want{Verdict: rules.Failed, Message: "without a pre-charge"}},
		{Name: "nothing known of battery and contact", Subject: "c",
			Replace: join(noResistor, []string{", resistance_mOhm: {min: 10, typ: 10, max: 10}", "", ", make_A: 600", ""}),
			Want:    ruletest.Want{Verdict: rules.Failed, Message: "without a pre-charge"}},
		{Name: "the disconnect closes on it", Subject: "c", Replace: []string{"load: {from: k.b,", "load: {from: d.b,"}, Want: ruletest.Want{Verdict: rules.Failed, Message: "d closes on", Fix: "put a contactor with a pre-charge between d and c"}},
		{Name: "which another controller's contactor with its pre-charge would spare", Subject: "c", Replace: []string{"load: {from: k.b,", "load: {from: d.b,",
			"controllers: {", "controllers: {c2: {min_V: 60, max_V: 130, capacitance_uF: 4700}, ",
			"modes:", "  x1: {from: k.b, to: c2.pos, size: 35 mm2, length_m: 0.5}\n  x2: {from: c2.neg, to: b.neg, size: 35 mm2, length_m: 0.5}\nmodes:"},
			Want: ruletest.Want{Verdict: rules.Failed, Message: "d closes on", Fix: "feed c from behind k"}},
		// The second contactor closes first, on capacitors that only the resistor feeds.
		{Name: "a second contactor in the negative side", Subject: "c", Replace: []string{
			"relays:", "  k2: {contact: {carry_A: 200, make_A: 600}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}\nrelays:",
			"back: {from: c.neg, to: b.neg,", "back: {from: c.neg, to: k2.a,",
			"relay_ret: {from: ry.coil_neg, to: c.neg,", "relay_ret: {from: ry.coil_neg, to: b.neg,",
			"modes:", "  n1: {from: k2.b, to: b.neg, size: 35 mm2, length_m: 0.5}\n  n2: {from: key.p_b, to: k2.coil_pos, size: 1 mm2, length_m: 1}\n  n3: {from: k2.coil_neg, to: b.neg, size: 1 mm2, length_m: 1}\nmodes:"},
			Want: ruletest.Want{Verdict: rules.Passed, Message: "r charges"}},
		{Name: "the second of two disconnects has the resistor", Subject: "c", Replace: []string{"disconnects: {d: {carry_A: 200}}", "disconnects: {d: {carry_A: 200}, e: {carry_A: 200}}",
			"load: {from: k.b,", "load: {from: e.b,", "modes:", "  e1: {from: d.b, to: e.a, size: 35 mm2, length_m: 0.5}\nmodes:", "from: ry.no, to: r.a", "from: e.a, to: r.a", "from: r.b, to: k.b", "from: r.b, to: e.b"},
			Want: ruletest.Want{Verdict: rules.Passed, Message: "before e closes"}},
		{Name: "a spare controller", Subject: "c2", Replace: []string{"controllers: {", "controllers: {c2: {min_V: 60, max_V: 130, spare: true}, "}},
	})
}
