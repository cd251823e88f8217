package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

// From 96 V to 60 V: R C ln(1.6) = 0.470004 R C.
func TestDischargeWait(t *testing.T) {
	run(t, dischargeWait(), []benchCase{
		{name: "no bleed", subject: "c", verdict: rules.Failed, level: rules.Warning, message: "nothing empties"},
		// 10 kOhm x 4.7 mF x 0.47 = 22.09 s; 4.7 mF (96^2 - 60^2) / 2 = 13.2 J.
		{name: "a bleed", subject: "c", change: bleed("10"), verdict: rules.Failed, level: rules.Note, message: "wait 23 s", fix: "23 s"},
		{name: "the energy above 60 V", subject: "c", change: bleed("10"), verdict: rules.Failed, level: rules.Note, message: "13.2 J"},
		// 47 kOhm: 103.8 s; 60 s take 27.16 kOhm.
		{name: "a slow bleed", subject: "c", change: bleed("47"), verdict: rules.Failed, level: rules.Warning, message: "103.8 s", fix: "27.16 kOhm"},
		{name: "the policy allows it", subject: "c", change: join(bleed("47"), []string{"modes:", "policy: {discharge_s: 120}\nmodes:"}), verdict: rules.Failed, level: rules.Note, message: "wait 104 s"},
		// Two of 10 kOhm: half the time.
		{name: "a bleed resistor of its own beside", subject: "c", change: join(bleed("10"), []string{"resistors: {", "resistors: {r9: {role: bleed, resistance_Ohm: 10000}, ",
			"modes:", "  b1: {from: c.pos, to: r9.a, size: 1 mm2, length_m: 0.1}\n  b2: {from: r9.b, to: c.neg, size: 1 mm2, length_m: 0.1}\nmodes:"}),
			verdict: rules.Failed, level: rules.Note, message: "wait 12 s"},
		// With the converter's 220 uF: 23.12 s.
		{name: "a converter's capacitors beside", subject: "c", change: join(bleed("10"), converter("50", "45", "1")), verdict: rules.Failed, level: rules.Note, message: "wait 24 s"},
		{name: "a light vehicle on the road", subject: "c", change: join(bleed("10"), []string{"use: off-road", "use: road-light"}), verdict: rules.Failed, level: rules.Note, message: "UN R136"},
		{name: "another road vehicle", subject: "c", change: join(bleed("10"), []string{"use: off-road", "use: road"}), verdict: rules.Failed, level: rules.Note, message: "UN R100"},
		{name: "up to 60 V", subject: "c", change: []string{"min_V: 72, nominal_V: 84, max_V: 96", "min_V: 44, nominal_V: 51, max_V: 59"}, silent: true},
		{name: "unknown capacitance", subject: "c", change: []string{", capacitance_uF: 4700", ""}, verdict: rules.NotChecked, missing: "controllers.c.capacitance_uF"},
		{name: "no contact between", subject: "c", change: []string{"load: {from: k.b,", "load: {from: b.pos,"}, verdict: rules.NotChecked, missing: "a contact between b and c"},
	})
}
