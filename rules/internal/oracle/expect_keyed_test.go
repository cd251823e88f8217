package oracle

import (
	"math"
	"testing"
)

// The ways of a block are one piece of metal, whose currents are added up. By hand: lamps
// of 1 A and 2 A return through it, 3 A together.
func TestBlockExpectations(t *testing.T) {
	v := vehicle(t, `{
		"batteries": {"aux": {"role": "auxiliary", "nominal_V": 12, "min_V": 12, "max_V": 12, "resistance_mOhm": 0.01}},
		"loads": {"one": {"kind": "resistive", "power_W": 12, "at_V": 12}, "two": {"kind": "resistive", "power_W": 24, "at_V": 12}},
		"blocks": {"bar": {"rated_A": 2, "rated_V_dc": 10, "ways": {
			"home": {}, "one": {"rated_A": 0.8}, "two": {"rated_A": 4, "clamp": {"min": "0.5 mm2", "max": "1.5 mm2"}}}}},
		"wires": {
			"w1": {"from": "aux.pos", "to": "one.pos", "size": "50 mm2", "length_m": 0.001},
			"w2": {"from": "aux.pos", "to": "two.pos", "size": "50 mm2", "length_m": 0.001},
			"w3": {"from": "one.neg", "to": "bar.one", "size": "2.5 mm2", "length_m": 0.001},
			"w4": {"from": "bar.two", "to": "two.neg", "size": "2.5 mm2", "length_m": 0.001},
			"w5": {"from": "bar.home", "to": "aux.neg", "size": "50 mm2", "length_m": 0.001}},
		"modes": {"on": {"on": ["one", "two"]}}}`)
	all := Expectations()
	near(t, "the bar", all["block-overloaded"](v, "bar"), 3.0/2, 1e-3)
	near(t, "its voltage", all["block-voltage-low"](v, "bar"), 12.0/10, 1e-9)
	near(t, "2.5 mm2 in a clamp of 1.5 mm2", all["clamp-size-mismatch"](v, "bar"), 2.5/1.5, 1e-9)
	changed, err := v.Changed(map[string]any{"blocks.bar.rated_A": 30, "blocks.bar.ways.two": map[string]any{"rated_A": 1.25}, "blocks.bar.ways.one.rated_A": 5})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "a way", all["block-overloaded"](changed, "bar"), 2/1.25, 1e-3)
}

// A 12 V coil behind key and emergency stop, on a house network whose negative is the
// metalwork; its contact feeds the drive.
func TestKeyedExpectations(t *testing.T) {
	sound := vehicle(t, `{
		"vehicle": {"use": "road", "chassis": "house-negative", "altitude_m": 3000},
		"batteries": {
			"pack": {"role": "traction", "nominal_V": 72, "min_V": 60, "max_V": 84, "resistance_mOhm": 20},
			"aux": {"role": "auxiliary", "nominal_V": 12, "min_V": 11, "max_V": 14, "resistance_mOhm": 20}},
		"contactors": {"k": {"contact": {"carry_A": 100}, "coil": {"nominal_V": 12, "operate_V": 8, "resistance_Ohm": 24}}},
		"switches": {"key": {"role": "key", "poles": {"p": {}}}, "stop": {"role": "emergency-stop", "poles": {"p": {}}}},
		"controllers": {"drive": {"capacitance_uF": 1000, "bleed_kOhm": 10, "weld_check": true}},
		"wires": {
			"t1": {"from": "pack.pos", "to": "k.a", "size": "50 mm2", "length_m": 1},
			"t2": {"from": "k.b", "to": "drive.pos", "size": "50 mm2", "length_m": 1},
			"t3": {"from": "drive.neg", "to": "pack.neg", "size": "50 mm2", "length_m": 1},
			"h1": {"from": "aux.pos", "to": "key.p_a", "size": "1.5 mm2", "length_m": 1},
			"h2": {"from": "key.p_b", "to": "stop.p_a", "size": "1.5 mm2", "length_m": 1},
			"h3": {"from": "stop.p_b", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 1},
			"h4": {"from": "k.coil_neg", "to": "aux.neg", "size": "1.5 mm2", "length_m": 1}},
		"modes": {"on": {"closed": ["key", "stop"]}}}`)
	all := Expectations()
	permanent := map[string]any{
		"resistors.r": map[string]any{"resistance_Ohm": 470, "role": "precharge", "permanent": true},
		"wires.r1":    map[string]any{"from": "k.a", "to": "r.a", "size": "1.5 mm2", "length_m": 1},
		"wires.r2":    map[string]any{"from": "r.b", "to": "k.b", "size": "1.5 mm2", "length_m": 1},
	}
	for _, x := range []struct {
		name, rule string
		edits      map[string]any
		want       float64
	}{
		{"sound", "contactor-stays-latched", nil, 0},
		{"latching", "contactor-stays-latched", map[string]any{"contactors.k.coil.latching": true}, math.Inf(1)},
		{"latching, with a capacitor", "contactor-stays-latched", map[string]any{"contactors.k.coil.latching": true, "contactors.k.coil.opens_on_loss": true}, 0},
		{"sound", "coil-return-switched", nil, 0},
		{"the stop in the return", "coil-return-switched", map[string]any{"wires.h2.to": "k.coil_pos", "wires.h3.to": "k.coil_neg", "wires.h3.from": "stop.p_a", "wires.h4.from": "stop.p_b"}, math.Inf(1)},
		{"the same of an isolated network", "coil-return-switched", map[string]any{"vehicle.chassis": "isolated", "wires.h2.to": "k.coil_pos", "wires.h3.to": "k.coil_neg", "wires.h3.from": "stop.p_a", "wires.h4.from": "stop.p_b"}, 0},
		{"the controller looks", "weld-unnoticed", nil, 0},
		{"nothing looks", "weld-unnoticed", map[string]any{"controllers.drive.weld_check": false}, math.Inf(1)},
		{"80 of 84 V with the contact open", "weld-unnoticed", permanent, math.Inf(1)},
		{"3000 m", "altitude-above-ratings", nil, 1.5},
	} {
		v, err := sound.Changed(x.edits)
		if err != nil {
			t.Fatal(err)
		}
		if got := all[x.rule](v, "k"); got != x.want {
			t.Errorf("%s, %s: %v, want %v", x.rule, x.name, got, x.want)
		}
	}
}
