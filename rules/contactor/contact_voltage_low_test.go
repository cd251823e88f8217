package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactVoltageLow(t *testing.T) {
	rule := contactVoltageLow()
	fleetIsSilent(t, rule)
	charger := []string{"controllers:", "chargers: {ch: {max_V: 18, max_A: 5, isolated: true}}\ncontrollers:",
		"modes:", "  cp: {from: ch.pos, to: b.pos, size: 35 mm2, length_m: 0.1}\n  cn: {from: ch.neg, to: b.neg, size: 35 mm2, length_m: 0.1}\nmodes:"}
	runBench(t, rule, []benchCase{
		{name: "the end of charge", want: want{verdict: rules.Passed, demand: 16, capability: 60, relative: 1e-9}},
		{name: "nominal is not enough", change: []string{"{carry_A: 100, rated_V_dc: 60", "{carry_A: 100, rated_V_dc: 15"}, want: want{verdict: rules.Failed, level: rules.Error, fix: "16 V DC"}},
		{name: "the charger counts", change: charger, want: want{verdict: rules.Passed, demand: 18, relative: 1e-9}},
		{
			name:   "regeneration counts", // 16 V + 40 A x 10 mOhm
			change: []string{"battery_peak_A: 150", "regen_A: 40, battery_peak_A: 150"},
			want:   want{verdict: rules.Passed, demand: 16.4, relative: 1e-9},
		},
		{
			name:   "in the negative side",
			change: []string{"from: b.pos, to: k.a", "from: b.pos, to: c.pos", "load: {from: k.b, to: c.pos", "load: {from: k.b, to: b.neg", "back: {from: c.neg, to: b.neg", "back: {from: c.neg, to: k.a"},
			want:   want{verdict: rules.Passed, demand: 16, relative: 1e-9},
		},
		{
			name: "not the higher battery that shares the negative, resistor across it or not",
			change: []string{
				"batteries: {b:", "resistors: {r: {role: bleed, resistance_Ohm: 10000}}\nbatteries: {p: {role: traction, min_V: 60, nominal_V: 80, max_V: 96}, b:",
				"from: b.pos, to: k.a", "from: b.pos, to: c.pos", "load: {from: k.b, to: c.pos", "load: {from: k.b, to: b.neg", "back: {from: c.neg, to: b.neg", "back: {from: c.neg, to: k.a",
				"modes:", "  p1: {from: p.neg, to: b.neg, size: 35 mm2, length_m: 0.1}\n  p2: {from: p.pos, to: r.a, size: 1.5 mm2, length_m: 0.1}\n  p3: {from: r.b, to: b.neg, size: 1.5 mm2, length_m: 0.1}\nmodes:"},
			want: want{verdict: rules.Passed, demand: 16, relative: 1e-9},
		},
		{name: "no rating", change: []string{"carry_A: 100, rated_V_dc: 60", "carry_A: 100"}, want: want{verdict: rules.NotChecked, missing: "contactors.k.contact.rated_V_dc"}},
	})
	t.Run("a house relay is not judged by the pack that shares its negative", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			rules.Edit{Path: "converters.converter.isolated", Value: "false"},
			rules.Edit{Path: "vehicle.chassis", Value: `"isolated"`},
			rules.Edit{Path: "wires.w_chassis"},
			rules.Edit{Path: "relays.lamp_relay", Value: `{"contact": {"carry_A": 10, "rated_V_dc": 28}, "coil": {"nominal_V": 12, "resistance_Ohm": 90}}`},
			rules.Edit{Path: "wires.r1", Value: `{"from": "usb_fuse.b", "to": "lamp_relay.common", "size": "1.5 mm2", "length_m": 0.1}`},
			rules.Edit{Path: "wires.r2", Value: `{"from": "lamp_relay.no", "to": "headlamp.pos", "size": "1.5 mm2", "length_m": 0.1}`},
			rules.Edit{Path: "wires.r3", Value: `{"from": "key.house_b", "to": "lamp_relay.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`},
			rules.Edit{Path: "wires.r4", Value: `{"from": "lamp_relay.coil_neg", "to": "returns_a.stud", "size": "1.5 mm2", "length_m": 0.1}`})
		r := ruletest.Verdict(t, got, "lamp_relay", rules.Passed)
		if r.Demand.Value != 14.4 {
			t.Errorf("highest voltage %v, want the auxiliary battery's 14.4 V", r.Demand)
		}
	})
}
