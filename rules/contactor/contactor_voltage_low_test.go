package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactVoltageLow(t *testing.T) {
	rule := contactVoltageLow()
	charger := []string{"controllers:", "chargers: {ch: {max_V: 18, max_A: 5, isolated: true}}\ncontrollers:",
		"modes:", "  cp: {from: ch.pos, to: b.pos, size: 35 mm2, length_m: 0.1}\n  cn: {from: ch.neg, to: b.neg, size: 35 mm2, length_m: 0.1}\nmodes:"}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the end of charge", Want: ruletest.Want{Verdict: rules.Passed, Demand: 16, Capability: 60, Relative: 1e-9}},
		{Name: "nominal is not enough", Replace: []string{"{carry_A: 100, rated_V_dc: 60", "{carry_A: 100, rated_V_dc: 15"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Fix: "16 V DC"}},
		{Name: "the charger counts", Replace: charger, Want: ruletest.Want{Verdict: rules.Passed, Demand: 18, Relative: 1e-9}},
		{
			Name:    "regeneration counts", // 16 V + 40 A x 10 mOhm
			Replace: []string{"battery_peak_A: 150", "regen_A: 40, battery_peak_A: 150", "max_V: 30, battery", "max_V: 26, battery"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 16.4, Relative: 1e-9},
		},
		{
			Name:    "opened while the controller feeds back up to what it withstands", // 80 V - 10 V
			Replace: []string{"battery_peak_A: 150", "regen_A: 40, battery_peak_A: 150", "max_V: 30, battery", "max_V: 80, battery"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 70, Capability: 60, Relative: 1e-9, Fix: "overvoltage_V"},
		},
		{
			Name:    "that ends feeding back before", // 20 V + 40 A / 1000 uF x 200 us - 10 V
			Replace: []string{"battery_peak_A: 150", "regen_A: 40, overvoltage_V: 20, overvoltage_reaction_us: 200, battery_peak_A: 150", "max_V: 30, battery", "max_V: 80, battery"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 18, Relative: 1e-9},
		},
		{
			Name:    "in the negative side",
			Replace: []string{"from: b.pos, to: k.a", "from: b.pos, to: c.pos", "load: {from: k.b, to: c.pos", "load: {from: k.b, to: b.neg", "back: {from: c.neg, to: b.neg", "back: {from: c.neg, to: k.a"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 16, Relative: 1e-9},
		},
		{
			Name: "not the higher battery that shares the negative, resistor across it or not",
			Replace: []string{
				"batteries: {b:", "resistors: {r: {role: bleed, resistance_Ohm: 10000}}\nbatteries: {p: {role: traction, min_V: 60, nominal_V: 80, max_V: 96}, b:",
				"from: b.pos, to: k.a", "from: b.pos, to: c.pos", "load: {from: k.b, to: c.pos", "load: {from: k.b, to: b.neg", "back: {from: c.neg, to: b.neg", "back: {from: c.neg, to: k.a",
				"modes:", "  p1: {from: p.neg, to: b.neg, size: 35 mm2, length_m: 0.1}\n  p2: {from: p.pos, to: r.a, size: 1.5 mm2, length_m: 0.1}\n  p3: {from: r.b, to: b.neg, size: 1.5 mm2, length_m: 0.1}\nmodes:"},
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16, Relative: 1e-9},
		},
		{Name: "no rating", Replace: []string{"carry_A: 100, rated_V_dc: 60", "carry_A: 100"}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.rated_V_dc"}},
	})
	t.Run("a house relay is not checked against the pack that shares its negative", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			ruletest.Edits("converters.converter.isolated", "false",
				"vehicle.chassis", `"isolated"`,
				"wires.w_chassis", "",
				"relays.lamp_relay", `{"contact": {"carry_A": 10, "rated_V_dc": 28}, "coil": {"nominal_V": 12, "resistance_Ohm": 90}}`,
				"wires.r1", `{"from": "usb_fuse.b", "to": "lamp_relay.common", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.r2", `{"from": "lamp_relay.no", "to": "headlamp.pos", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.r3", `{"from": "key.house_b", "to": "lamp_relay.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.r4", `{"from": "lamp_relay.coil_neg", "to": "returns_a.stud", "size": "1.5 mm2", "length_m": 0.1}`)...)
		r := ruletest.Verdict(t, got, "lamp_relay", rules.Passed)
		if r.Demand.Value != 14.4 {
			t.Errorf("highest voltage %v, want the auxiliary battery's 14.4 V", r.Demand)
		}
	})
}
