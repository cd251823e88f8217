package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// From 96 V to 60 V: R C ln(1.6) = 0.470004 R C.
func TestDischargeWait(t *testing.T) {
	fixture.Play(t, dischargeWait(), []ruletest.Scene{
		{Name: "no bleed", Subject: "c", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "nothing discharges"}},
		// 10 kOhm x 4.7 mF x 0.47 = 22.09 s; 4.7 mF (96^2 - 60^2) / 2 = 13.2 J.
		{Name: "a bleed", Subject: "c", Replace: bleed("10"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 23 s", Fix: "23 s"}},
		{Name: "the energy above 60 V", Subject: "c", Replace: bleed("10"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "13.2 J"}},
		// 47 kOhm: 103.8 s; 60 s take 27.16 kOhm.
		{Name: "a slow bleed", Subject: "c", Replace: bleed("47"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "103.8 s", Fix: "at most 27.1 kOhm"}},
		{Name: "the policy allows it", Subject: "c", Replace: join(bleed("47"), []string{"modes:", "policy: {discharge_s: 120}\nmodes:"}), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 104 s"}},
		// Two of 10 kOhm: half the time.
		{Name: "a bleed resistor of its own beside", Subject: "c", Replace: join(bleed("10"), []string{"resistors: {", "resistors: {r9: {role: bleed, resistance_Ohm: 10000}, ",
			"modes:", "  b1: {from: c.pos, to: r9.a, size: 1 mm2, length_m: 0.1}\n  b2: {from: r9.b, to: c.neg, size: 1 mm2, length_m: 0.1}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 12 s"}},
		{Name: "and the other way around", Subject: "c", Replace: join(bleed("10"), []string{"resistors: {", "resistors: {r9: {role: bleed, resistance_Ohm: 10000}, ",
			"modes:", "  b1: {from: c.pos, to: r9.b, size: 1 mm2, length_m: 0.1}\n  b2: {from: r9.a, to: c.neg, size: 1 mm2, length_m: 0.1}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 12 s"}},
		// With the converter's 220 uF: 23.12 s.
		{Name: "a converter's capacitors beside", Subject: "c", Replace: join(bleed("10"), converter("50", "45", "1")), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "wait 24 s"}},
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
