package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCoilNeverOff(t *testing.T) {
	rule := coilNeverOff()
	hardWired := func(contact, more string) []string {
		return []string{
			"controllers:", "relays: {r: {contact: {carry_A: 10, rated_V_dc: 60}" + more + ", coil: {nominal_V: 12, operate_V: 6, release_V: 1.2, resistance_Ohm: 90, suppression: diode}}}\n" +
				"batteries: {b: {role: traction, min_V: 10, nominal_V: 12, max_V: 16, resistance_mOhm: {min: 10, typ: 10, max: 10}}, aux: {role: auxiliary, min_V: 10, nominal_V: 12, max_V: 16}}\ncontrollers:",
			"batteries: {b: {role: traction, min_V: 10, nominal_V: 12, max_V: 16, resistance_mOhm: {min: 10, typ: 10, max: 10}}}\nswitches", "switches",
			"  coil: {from", "  r1: {from: aux.pos, to: r.coil_pos, size: 1.5 mm2, length_m: 0.2}\n  r2: {from: r.coil_neg, to: aux.neg, size: 1.5 mm2, length_m: 0.2}\n" +
				"  r3: {from: " + contact + ", to: r.common, size: 1.5 mm2, length_m: 0.2}\n  coil: {from",
		}
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "keyed", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "past the key", Replace: []string{"coil: {from: key.p_b", "coil: {from: b.pos"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "contactor-not-keyed/k"}},
		{Name: "a relay of the house", Replace: hardWired("aux.pos", ""), Subject: "r", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "fed through r1 - r2 for good"}},
		{Name: "a relay in the traction circuit", Replace: hardWired("b.pos", ""), Subject: "r", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "declared", Replace: hardWired("aux.pos", ", always_live: true"), Subject: "r", Want: ruletest.Want{Verdict: rules.AsDeclared, Message: "as declared"}},
		{Name: "a coil that ends nowhere", Replace: []string{"  ret: {from: k.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}\n", ""},
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a conductor on k.coil_neg", Primary: "terminal-unconnected/k"}},
	})
}
