package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// From 96 V to 60 V: 1.3 R C ln(1.6) = 0.611005 R C.
func TestDischargeWait(t *testing.T) {
	// A resistor of a value beside the controller.
	beside := func(ohm string) []string {
		return []string{"resistors: {", "resistors: {r9: {role: bleed, resistance_Ohm: " + ohm + "}, ",
			"modes:", "  b1: {from: c.pos, to: r9.a, size: 1 mm2, length_m: 0.1}\n  b2: {from: r9.b, to: c.neg, size: 1 mm2, length_m: 0.1}\nmodes:"}
	}
	fixture.Play(t, dischargeWait(), []ruletest.Scene{
		// 60 s take 20.893 kOhm: 20 kOhm and 0.4608 W.
		{Name: "no bleed", Subject: "c", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "nothing discharges", Fix: "at most 20 kOhm across pos and neg of c (of that value rated at least 0.47 W)"}},
		{Name: "no bleed, mended", Subject: "c", Replace: beside("20000"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 58 s"}},
		// 10 kOhm x 4.7 mF x 0.611 = 28.72 s; 4.7 mF (96^2 - 60^2) / 2 = 13.2 J.
		{Name: "a bleed", Subject: "c", Replace: bleed("10"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 29 s", Fix: "wait 29 s"}},
		{Name: "the energy above 60 V", Subject: "c", Replace: bleed("10"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "13.2 J"}},
		// 22 kOhm: 48.6 s by the nominal values, 63.2 s with their tolerances.
		{Name: "in time by its nominal values only", Subject: "c", Replace: bleed("22"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "up to 64 s"}},
		// 47 kOhm: 134.97 s; 20.893 kOhm take 37.6 kOhm beside.
		{Name: "a slow bleed", Subject: "c", Replace: bleed("47"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "up to 135 s", Fix: "at most 37 kOhm"}},
		{Name: "a slow bleed, mended", Subject: "c", Replace: join(bleed("47"), beside("37000")), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 60 s"}},
		{Name: "a very slow bleed", Subject: "c", Replace: bleed("470"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "up to 23 min"}},
		{Name: "hours", Subject: "c", Replace: bleed("4700"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "up to 4 h"}},
		{Name: "the policy allows it", Subject: "c", Replace: join(bleed("47"), []string{"modes:", "policy: {discharge_s: 140}\nmodes:"}), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 135 s"}},
		// Two of 10 kOhm: half the time.
		{Name: "a bleed resistor of its own beside", Subject: "c", Replace: join(bleed("10"), beside("10000")), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 15 s"}},
		{Name: "and the other way around", Subject: "c", Replace: join(bleed("10"), []string{"resistors: {", "resistors: {r9: {role: bleed, resistance_Ohm: 10000}, ",
			"modes:", "  b1: {from: c.pos, to: r9.b, size: 1 mm2, length_m: 0.1}\n  b2: {from: r9.a, to: c.neg, size: 1 mm2, length_m: 0.1}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 15 s"}},
		// With the converter's 220 uF: 30.06 s.
		{Name: "a converter's capacitors beside", Subject: "c", Replace: join(bleed("10"), converter("50", "45", "1")), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 31 s"}},
		{Name: "a light vehicle on the road", Subject: "c", Replace: join(bleed("10"), []string{"use: off-road", "use: road-light"}), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "UN R136"}},
		{Name: "another road vehicle", Subject: "c", Replace: join(bleed("10"), []string{"use: off-road", "use: road"}), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "UN R100"}},
		{Name: "up to 60 V", Subject: "c", Replace: []string{"min_V: 72, nominal_V: 84, max_V: 96", "min_V: 44, nominal_V: 51, max_V: 59"}},
		// What a converter makes of 59 V is none of the controller's.
		{Name: "a converter's 96 V beside", Subject: "c", Replace: []string{"min_V: 72, nominal_V: 84, max_V: 96", "min_V: 44, nominal_V: 51, max_V: 59",
			"controllers:", "converters: {up: {input: {min_V: 40, max_V: 130}, output: {nominal_V: 96, continuous_A: 2}, isolated: false}}\nloads: {lamp: {kind: resistive, power_W: 50, at_V: 96}}\ncontrollers:",
			"modes:", "  u1: {from: c.pos, to: up.in_pos, size: 4 mm2, length_m: 0.1}\n  u2: {from: up.in_neg, to: c.neg, size: 4 mm2, length_m: 0.1}\n" +
				"  u3: {from: up.out_pos, to: lamp.pos, size: 4 mm2, length_m: 0.1}\n  u4: {from: lamp.neg, to: up.out_neg, size: 4 mm2, length_m: 0.1}\nmodes:"}},
		{Name: "unknown capacitance", Subject: "c", Replace: []string{", capacitance_uF: 4700", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.capacitance_uF"}},
		{Name: "no contact between", Subject: "c", Replace: []string{"load: {from: k.b,", "load: {from: b.pos,"}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a contact between b and c"}},
	})
}
