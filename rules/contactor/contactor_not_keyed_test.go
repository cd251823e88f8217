package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// keyedRelay puts a relay between the key and the coil: "Key through a relay".
func keyedRelay(coilFrom string) []string {
	return []string{
		"controllers:", "relays: {r: {contact: {carry_A: 10, rated_V_dc: 60}, coil: {nominal_V: 12, operate_V: 6, release_V: 1.2, resistance_Ohm: 90, suppression: diode}}}\ncontrollers:",
		"  coil: {from: key.p_b,", "  r1: {from: " + coilFrom + ", to: r.coil_pos, size: 1.5 mm2, length_m: 0.2}\n" +
			"  r2: {from: r.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 0.2}\n" +
			"  r3: {from: b.pos, to: r.common, size: 1.5 mm2, length_m: 0.2}\n" +
			"  coil: {from: r.no,",
	}
}

func TestContactorNotKeyed(t *testing.T) {
	rule := contactorNotKeyed()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "keyed", Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "fed past the key",
			Replace: []string{"coil: {from: key.p_b", "coil: {from: b.pos"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error},
		},
		{Name: "keyed through a relay", Replace: keyedRelay("key.p_b"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a relay that is not keyed", Replace: keyedRelay("b.pos"), Want: ruletest.Want{Verdict: rules.Failed, Message: "through r"}},
		{
			Name:    "a diode past the key",
			Replace: []string{"controllers:", "diodes: {d: {forward_V: 0.8}}\ncontrollers:", "modes:", "  d1: {from: b.pos, to: d.anode, size: 1.5 mm2, length_m: 0.2}\n  d2: {from: d.cathode, to: key.p_b, size: 1.5 mm2, length_m: 0.2}\nmodes:"},
			Want:    ruletest.Want{Verdict: rules.Failed, Primary: "coil-self-holding/k"},
		},
		{
			Name:    "a diode that blocks",
			Replace: []string{"controllers:", "diodes: {d: {forward_V: 0.8}}\ncontrollers:", "modes:", "  d1: {from: key.p_b, to: d.anode, size: 1.5 mm2, length_m: 0.2}\n  d2: {from: d.cathode, to: b.pos, size: 1.5 mm2, length_m: 0.2}\nmodes:"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name: "a second contactor that is always in, in series with the keyed one",
			Replace: []string{"controllers:", "  k2: {contact: {carry_A: 100}, coil: {nominal_V: 12, resistance_Ohm: 24}}\ncontrollers:",
				"  main: {from: b.pos,", "  m0: {from: b.pos, to: k2.a, size: 35 mm2, length_m: 0.1}\n" +
					"  m1: {from: b.pos, to: k2.coil_pos, size: 1.5 mm2, length_m: 0.1}\n" +
					"  m2: {from: k2.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 0.1}\n  main: {from: k2.b,"},
			Subject: "k2",
			Want:    ruletest.Want{Verdict: rules.Passed, Message: "another contact that the key opens"},
		},
		{Name: "a second contactor in parallel, past the key", Replace: beside("b.pos"), Subject: "k2", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "a second contactor in parallel, on the key", Replace: beside("key.p_b"), Subject: "k2", Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "no key",
			Replace: []string{"role: key", "role: other"},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "a switch with role: key"},
		},
		{
			Name:    "no switch at all",
			Replace: []string{"role: key", "role: other", "coil: {from: key.p_b", "coil: {from: b.pos"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "no key: the coil of k is fed through coil - ret as soon"},
		},
	})
	t.Run("a driver of a controller whose logic supply is keyed", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", ruletest.Edits("wires.w_coil.from", `"key_fuse.b"`)...)
	})
	t.Run("not so when the logic supply is not keyed either", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", ruletest.Edits("wires.w_coil.from", `"key_fuse.b"`,
			"wires.w_enable.from", `"key_fuse.b"`)...)
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
	t.Run("a pump contactor need not be keyed", func(t *testing.T) {
		got := ruletest.On(t, rule, "badger")
		if _, ok := got["pump_contactor"]; ok {
			t.Error("the pump contactor feeds no controller and has a result")
		}
	})
}
