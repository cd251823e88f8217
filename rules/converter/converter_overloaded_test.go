package converter

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The worked budget: 2 x 68 + 2 x 6 + 2 x 25 + 5 + 20 = 223 W at 13.5 V are
// 16.5185 A, with a horn of 60 W 283 W and 20.963 A. Lamp powers are the
// greatest that UN R37 allows at the test voltage.
func TestOverloaded(t *testing.T) {
	rule := overloaded()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"the worked budget passes with 10 % in hand", nil, "",
			outcome{verdict: rules.Passed, mode: "night", demand: 16.5185, capability: 20}},
		{"and fails where a team asks for 25 %", edits{"policy.required": `{"converter-overloaded": 1.25}`}, "",
			outcome{verdict: rules.Failed, level: rules.Error, demand: 16.5185, capability: 20}},
		{"16.5185 A x 1.1 = 18.17 A is too much for 18 A", edits{"converters.dcdc.output.continuous_A": "18"}, "",
			outcome{verdict: rules.Failed, demand: 16.5185, capability: 18}},
		// 40 C + 15 K = 55 C lies a quarter of the way from 100 % at 50 C to 60 %
		// at 70 C: 90 %, so 18 A.
		{"derated in a hot place", edits{"zones.bay": `{"rise_K": 15}`, "converters.dcdc.zone": `"bay"`,
			"converters.dcdc.derating": `[{"at_C": 50, "percent": 100}, {"at_C": 70, "percent": 60}]`}, "",
			outcome{verdict: rules.Failed, demand: 16.5185, capability: 18}},
		{"a mode says its own air", edits{"modes.night.ambient_C": "20",
			"converters.dcdc.derating": `[{"at_C": 20, "percent": 100}, {"at_C": 40, "percent": 50}]`}, "",
			outcome{verdict: rules.Passed, demand: 16.5185, capability: 20}},
		// Half of the 50 W of stop lamps: 198 W, 14.667 A.
		{"duty counts", edits{"loads.stop_left.duty_percent": "50", "loads.stop_right.duty_percent": "50"}, "",
			outcome{verdict: rules.Passed, demand: 198 / 13.5}},
		{"a lamp behind an open switch does not", edits{"modes.night.closed": `["main", "lights"]`}, "",
			outcome{verdict: rules.Passed, demand: 173 / 13.5}},
		{"the float current of a battery does", auxiliary(nil), "",
			outcome{verdict: rules.Passed, demand: 16.5185 + 0.5}},
		// 13.5 V / 27 Ohm = 0.5 A.
		{"a plain coil does", coilAt("27"), "", outcome{verdict: rules.Passed, demand: 16.5185 + 0.5}},
		{"an economiser holds with its holding current", economiser(nil), "",
			outcome{verdict: rules.Passed, demand: 16.5185 + 0.1}},
		{"a coil without resistance", edits{"contactors.k": `{"contact": {}, "coil": {"nominal_V": 12}}`,
			"wires.w60": `{"from": "plus.stud", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "k.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`}, "",
			outcome{verdict: rules.NotChecked, missing: "contactors.k.coil.resistance_Ohm"}},
		{"modes shorter than the peak are another rule's", edits{"modes.night.lasts_s": "20"}, "",
			outcome{verdict: rules.NotChecked, missing: "a mode that lasts longer than converters.dcdc.output.peak_s"}},
		{"a converter that never runs", edits{"modes.night.closed": `["lights"]`, "modes.sounding.closed": `["lights"]`}, "",
			outcome{verdict: rules.NotChecked, missing: "a mode in which dcdc runs"}},
		// A dummy load of 13.5 Ohm takes 1 A.
		{"a resistor across the network", edits{"resistors.dummy": `{"role": "load", "resistance_Ohm": 13.5}`,
			"wires.w60": `{"from": "plus.stud", "to": "dummy.a", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "dummy.b", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`}, "",
			outcome{verdict: rules.Passed, demand: 17.5185}},
		// A second converter of 13.5 W at 90 % takes 15 W: 1.1111 A.
		{"a converter behind it", edits{
			"converters.five": `{"input": {"min_V": 9, "max_V": 16}, "output": {"nominal_V": 5, "continuous_A": 4}, "efficiency_percent": 90, "isolated": false}`,
			"loads.usb":       `{"kind": "electronic", "power_W": 13.5, "at_V": 5}`,
			"modes.night.on":  `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "plate", "electronics", "usb"]`,
			"wires.w60":       `{"from": "plus.stud", "to": "five.in_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61":       `{"from": "five.in_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w62":       `{"from": "five.out_pos", "to": "usb.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w63":       `{"from": "usb.neg", "to": "five.out_neg", "size": "1.5 mm2", "length_m": 0.1}`}, "",
			outcome{verdict: rules.Passed, demand: 16.5185 + 15/13.5}},
		// Two in parallel share by rating: 20 of 30 A, so 11.012 A.
		{"beside a second converter", edits{
			"converters.small": `{"input": {"min_V": 60, "max_V": 140}, "output": {"nominal_V": 13.5, "continuous_A": 10}, "isolated": true}`,
			"wires.w60":        `{"from": "main.drive_b", "to": "small.in_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61":        `{"from": "small.in_neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w62":        `{"from": "small.out_pos", "to": "plus.stud", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w63":        `{"from": "small.out_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`}, "",
			outcome{verdict: rules.Passed, demand: 16.5185 * 20 / 30}},
	})
}

func coilAt(ohm string) edits {
	return edits{"contactors.k": `{"contact": {}, "coil": {"nominal_V": 12, "resistance_Ohm": ` + ohm + `}}`,
		"wires.w60": `{"from": "plus.stud", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
		"wires.w61": `{"from": "k.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`}
}

// economiser is a coil that takes 4.1 A for an instant and holds with 0.1 A.
func economiser(more edits) edits {
	out := edits{"contactors.k": `{"contact": {}, "coil": {"nominal_V": 12, "drive": "economiser", "pickup_A": 4.1, "pickup_s": 0.1, "hold_A": 0.1}}`,
		"wires.w60": `{"from": "plus.stud", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
		"wires.w61": `{"from": "k.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`}
	for k, v := range more {
		out[k] = v
	}
	return out
}

// An overloaded converter without isolation does not count what hangs on the
// pack's side as its own.
func TestOverloadedOwnSideOnly(t *testing.T) {
	got := bench(t, overloaded(), edits{"converters.dcdc.isolated": "false", "converters.dcdc.isolation_V": "",
		"loads.heater":   `{"kind": "resistive", "power_W": 900, "at_V": 96}`,
		"modes.night.on": `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "plate", "electronics", "heater"]`,
		"wires.w60":      `{"from": "main.drive_b", "to": "heater.pos", "size": "1.5 mm2", "length_m": 0.1}`,
		"wires.w61":      `{"from": "heater.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`})
	expect(t, got, "dcdc", outcome{verdict: rules.Passed, demand: 16.5185})
}

// The sum in the working is that of the terms before it.
func TestBudgetWorkingAddsUp(t *testing.T) {
	r := bench(t, overloaded(), nil)["dcdc"]
	var sum float64
	for _, s := range r.Working {
		switch {
		case s.Symbol == "I":
			if math.Abs(s.Value-sum) > 1e-9 {
				t.Errorf("the terms add up to %v, the sum says %v", sum, s.Value)
			}
			return
		case s.Unit == "A" && s.Formula != "":
			sum += s.Value
		}
	}
	t.Error("the working has no sum")
}
