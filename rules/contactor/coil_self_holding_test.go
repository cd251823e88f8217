package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A resistor across the key leaves 16 V x 24 / (24 + R) at the cold coil, which
// releases below 1.2 V; 1.2 V / 1.25 = 0.96 V is required.
func TestCoilSelfHolding(t *testing.T) {
	rule := coilSelfHolding()
	acrossKey := func(ohm string) []string {
		return []string{
			"controllers:", "resistors: {r: {role: load, resistance_Ohm: " + ohm + "}}\ncontrollers:",
			"modes:", "  r1: {from: key.p_a, to: r.a, size: 1.5 mm2, length_m: 0.1}\n  r2: {from: r.b, to: key.p_b, size: 1.5 mm2, length_m: 0.1}\nmodes:"}
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "nothing holds it", Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "a resistor holds it",
			Replace: acrossKey("200"), // 1.714 V
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1.714, Capability: 1.2, Relative: 1e-3, Message: "coil of k: 1.714 V with key open in mode drive, fed through r, cold release voltage 1.2 V"},
		},
		{
			Name:    "a resistor may hold it",
			Replace: acrossKey("350"), // 1.027 V
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 1.0265, Relative: 1e-3},
		},
		{
			Name:    "a resistor does not hold it",
			Replace: acrossKey("400"), // 0.9055 V
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 0.9055, Relative: 1e-3},
		},
		{
			Name:    "no release voltage, and something left",
			Replace: append(acrossKey("400"), "release_V: 1.2, ", ""),
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.release_V"},
		},
		{
			Name:    "no release voltage, and nothing left",
			Replace: []string{"release_V: 1.2, ", ""},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "cold, a coil releases later", // 1.2 V (1 - 0.00393 x 40) = 1.011 V
			Replace: []string{"min: 20, max: 20", "min: -20, max: 20"},
			Want:    ruletest.Want{Verdict: rules.Passed, Capability: 1.0114, Relative: 1e-4},
		},
		{
			Name:    "its own contact holds it",
			Replace: []string{"modes:", "  latch: {from: k.b, to: k.coil_pos, size: 1.5 mm2, length_m: 0.2}\nmodes:"},
			Want:    ruletest.Want{Verdict: rules.Failed, Message: "fed through k,", Capability: 1.2, Relative: 1e-9},
		},
		{
			// 16 V over its own contact and 350 Ohm leave 1.027 V: it may release, it need not.
			Name: "its own contact and a resistor may hold it",
			Replace: []string{"controllers:", "resistors: {r: {role: load, resistance_Ohm: 350}}\ncontrollers:",
				"modes:", "  r1: {from: k.b, to: r.a, size: 1.5 mm2, length_m: 0.1}\n  r2: {from: r.b, to: k.coil_pos, size: 1.5 mm2, length_m: 0.1}\nmodes:"},
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 1.0265, Relative: 1e-3},
		},
		{
			Name: "a start button with a latching relay and a key is meant to hold",
			Replace: []string{
				"controllers:", "relays: {r: {coil: {nominal_V: 12, release_V: 1.2, resistance_Ohm: 90}}}\ncontrollers:",
				"rated_V_dc: 60}}}", "rated_V_dc: 60}}}, start: {poles: {p: {carry_A: 10, rated_V_dc: 60}}}",
				"{key: {role: key, poles: {p: {carry_A: 10, rated_V_dc: 60}}},", "{key: {role: key, poles: {p: {carry_A: 10, rated_V_dc: 60}}},",
				"modes:", "  s1: {from: key.p_b, to: start.p_a, size: 1.5 mm2, length_m: 1}\n" +
					"  s2: {from: start.p_b, to: r.coil_pos, size: 1.5 mm2, length_m: 1}\n" +
					"  s3: {from: r.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}\n" +
					"  s4: {from: key.p_b, to: r.common, size: 1.5 mm2, length_m: 1}\n" +
					"  s5: {from: r.no, to: r.coil_pos, size: 1.5 mm2, length_m: 1}\nmodes:\n  starting: {closed: [key, start]}"},
			Subject: "r",
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "only in a mode that is not declared",
			Replace: []string{"closed: [key]", "closed: []"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
	})
}

// A mode that leaves the key open but lights a lamp in series with the coil, and
// a diode from another switch: what holds is named, and a second coil in
// parallel follows the first.
func TestSelfHoldingSneaks(t *testing.T) {
	rule := coilSelfHolding()
	lamp := ruletest.On(t, rule, "mole",
		ruletest.Edits("loads.pilot", `{"kind": "filament", "power_W": 10, "at_V": 48}`,
			"wires.p1", `{"from": "key.drive_a", "to": "pilot.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.p2", `{"from": "pilot.neg", "to": "key.drive_b", "size": "1.5 mm2", "length_m": 0.1}`,
			"modes.parked", `{"closed": ["isolator", "stop", "drive.coil_out"], "on": ["pilot"]}`)...)
	r := ruletest.Verdict(t, lamp, "main_contactor", rules.Failed)
	if r.Mode != "parked" {
		t.Errorf("mode %q, want parked: %s", r.Mode, r.Message)
	}
	diode := ruletest.On(t, rule, "heron",
		ruletest.Edits("diodes.d", `{"forward_V": 0.8, "forward_at_A": 1}`,
			"wires.d1", `{"from": "light_switch.tail_b", "to": "d.anode", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.d2", `{"from": "d.cathode", "to": "display.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w_coil_contactor.from", `"soft_timer.pos"`)...)
	ruletest.Verdict(t, diode, "main_contactor", rules.Failed)
	r = ruletest.Verdict(t, diode, "soft_relay", rules.Failed)
	if r.Primary != "coil-self-holding/main_contactor" {
		t.Errorf("primary %q", r.Primary)
	}
}
