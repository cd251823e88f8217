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
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "keyed", want: want{verdict: rules.Passed}},
		{
			name:   "fed past the key",
			change: []string{"coil: {from: key.p_b", "coil: {from: b.pos"},
			want:   want{verdict: rules.Failed, level: rules.Error},
		},
		{name: "keyed through a relay", change: keyedRelay("key.p_b"), want: want{verdict: rules.Passed}},
		{name: "a relay that is not keyed", change: keyedRelay("b.pos"), want: want{verdict: rules.Failed, message: "by r"}},
		{
			name:   "a diode past the key",
			change: []string{"controllers:", "diodes: {d: {forward_V: 0.8}}\ncontrollers:", "modes:", "  d1: {from: b.pos, to: d.anode, size: 1.5 mm2, length_m: 0.2}\n  d2: {from: d.cathode, to: key.p_b, size: 1.5 mm2, length_m: 0.2}\nmodes:"},
			want:   want{verdict: rules.Failed, primary: "coil-self-holding/k"},
		},
		{
			name:   "a diode that blocks",
			change: []string{"controllers:", "diodes: {d: {forward_V: 0.8}}\ncontrollers:", "modes:", "  d1: {from: key.p_b, to: d.anode, size: 1.5 mm2, length_m: 0.2}\n  d2: {from: d.cathode, to: b.pos, size: 1.5 mm2, length_m: 0.2}\nmodes:"},
			want:   want{verdict: rules.Passed},
		},
		{
			name: "a second contactor that is always in, in series with the keyed one",
			change: []string{"controllers:", "  k2: {contact: {carry_A: 100}, coil: {nominal_V: 12, resistance_Ohm: 24}}\ncontrollers:",
				"  main: {from: b.pos,", "  m0: {from: b.pos, to: k2.a, size: 35 mm2, length_m: 0.1}\n" +
					"  m1: {from: b.pos, to: k2.coil_pos, size: 1.5 mm2, length_m: 0.1}\n" +
					"  m2: {from: k2.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 0.1}\n  main: {from: k2.b,"},
			subject: "k2",
			want:    want{verdict: rules.Passed, message: "another contact, which the key opens"},
		},
		{name: "a second contactor in parallel, past the key", change: beside("b.pos"), subject: "k2", want: want{verdict: rules.Failed}},
		{name: "a second contactor in parallel, on the key", change: beside("key.p_b"), subject: "k2", want: want{verdict: rules.Passed}},
		{
			name:   "no key",
			change: []string{"role: key", "role: other"},
			want:   want{verdict: rules.NotChecked, missing: "a switch with role: key"},
		},
	})
	t.Run("a driver of a controller whose logic supply is keyed", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", rules.Edit{Path: "wires.w_coil.from", Value: `"key_fuse.b"`})
	})
	t.Run("not so when the logic supply is not keyed either", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", rules.Edit{Path: "wires.w_coil.from", Value: `"key_fuse.b"`},
			rules.Edit{Path: "wires.w_enable.from", Value: `"key_fuse.b"`})
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
	t.Run("a pump contactor need not be keyed", func(t *testing.T) {
		got := ruletest.On(t, rule, "badger")
		if _, ok := got["pump_contactor"]; ok {
			t.Error("the pump contactor feeds no controller and has a result")
		}
	})
}
