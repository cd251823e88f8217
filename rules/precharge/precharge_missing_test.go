package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

// The loop: 10 mOhm of battery, 2 m of 35 mm2 at 0.554 mOhm/m (IEC 60228 class 5)
// and two contacts of 75 mV at 200 A are 11.858 mOhm.
func TestPrechargeMissing(t *testing.T) {
	const inrush = 96 / 0.011858
	run(t, prechargeMissing(), []benchCase{
		{name: "with a resistor round the contactor", subject: "c", verdict: rules.Passed, message: "r charges"},
		{name: "without", subject: "c", change: noResistor, verdict: rules.Failed, level: rules.Error, demand: inrush, capability: 600},
		{name: "the controller has its own", subject: "c", change: join(noResistor, []string{"capacitance_uF: 4700", "capacitance_uF: 4700, internal_precharge: true"}),
			verdict: rules.Passed, message: "limits the current"},
		{name: "a contact made for it", subject: "c", change: join(noResistor, []string{"make_A: 600", "make_A: 9000"}), verdict: rules.Passed, demand: inrush},
		{name: "how much does not matter", subject: "c", change: join(noResistor, []string{", capacitance_uF: 4700", ""}), verdict: rules.Failed, demand: inrush},
		{name: "nothing known of battery and contact", subject: "c",
			change:  join(noResistor, []string{", resistance_mOhm: {min: 10, typ: 10, max: 10}", "", ", make_A: 600", ""}),
			verdict: rules.Failed, message: "nothing charges them first"},
		{name: "the disconnect closes on it", subject: "c", change: []string{"load: {from: k.b,", "load: {from: d.b,"}, verdict: rules.Failed, message: "d closes on"},
		{name: "which another controller's contactor with its pre-charge would spare", subject: "c", change: []string{"load: {from: k.b,", "load: {from: d.b,",
			"controllers: {", "controllers: {c2: {min_V: 60, max_V: 130, capacitance_uF: 4700}, ",
			"modes:", "  x1: {from: k.b, to: c2.pos, size: 35 mm2, length_m: 0.5}\n  x2: {from: c2.neg, to: b.neg, size: 35 mm2, length_m: 0.5}\nmodes:"},
			verdict: rules.Failed, message: "d closes on", fix: "feed c from behind k"},
		// The second contactor closes first, on capacitors that only the resistor feeds.
		{name: "a second contactor in the negative side", subject: "c", change: []string{
			"relays:", "  k2: {contact: {carry_A: 200, make_A: 600}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}\nrelays:",
			"back: {from: c.neg, to: b.neg,", "back: {from: c.neg, to: k2.a,",
			"ret: {from: k.coil_neg, to: c.neg,", "ret: {from: k.coil_neg, to: b.neg,",
			"modes:", "  n1: {from: k2.b, to: b.neg, size: 35 mm2, length_m: 0.5}\n  n2: {from: key.p_b, to: k2.coil_pos, size: 1 mm2, length_m: 1}\n  n3: {from: k2.coil_neg, to: b.neg, size: 1 mm2, length_m: 1}\nmodes:"},
			verdict: rules.Passed, message: "r charges"},
		{name: "a spare controller", subject: "c2", change: []string{"controllers: {", "controllers: {c2: {min_V: 60, max_V: 130, spare: true}, "}, silent: true},
	})
}
