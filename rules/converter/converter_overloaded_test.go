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
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the worked budget passes with 10 % in hand",
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "night", Demand: 16.5185, Capability: 20}},
		{Name: "and fails where a team asks for 25 %", Edits: ruletest.Edits("policy.required", `{"converter-overloaded": 1.25}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 16.5185, Capability: 20}},
		{Name: "16.5185 A x 1.1 = 18.17 A is too much for 18 A", Edits: ruletest.Edits("converters.dcdc.output.continuous_A", "18"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 16.5185, Capability: 18}},
		// 40 C + 15 K = 55 C lies a quarter of the way from 100 % at 50 C to 60 %
		// at 70 C: 90 %, so 18 A.
		{Name: "derated in a hot place", Edits: ruletest.Edits("zones.bay", `{"rise_K": 15}`, "converters.dcdc.zone", `"bay"`,
			"converters.dcdc.derating", `[{"at_C": 50, "percent": 100}, {"at_C": 70, "percent": 60}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 16.5185, Capability: 18}},
		// Nothing is promised above the last point, whatever is left at it.
		{Name: "hotter than its curve goes", Edits: ruletest.Edits("zones.bay", `{"rise_K": 35}`, "converters.dcdc.zone", `"bay"`,
			"converters.dcdc.derating", `[{"at_C": 50, "percent": 100}, {"at_C": 70, "percent": 95}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 16.5185, Capability: 0, Message: "not rated above 70 C", Fix: "at most 70 C"}},
		{Name: "the same where only the default says how hot it gets", Edits: ruletest.Edits("vehicle.ambient_C", "", "zones.bay", `{"rise_K": 35}`, "converters.dcdc.zone", `"bay"`,
			"converters.dcdc.derating", `[{"at_C": 50, "percent": 100}, {"at_C": 70, "percent": 95}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "vehicle.ambient_C.max"}},
		{Name: "hot, without a curve", Edits: ruletest.Edits("vehicle.ambient_C.max", "90"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dcdc.derating"}},
		{Name: "hot, without a curve, and too much at any temperature", Edits: ruletest.Edits("vehicle.ambient_C.max", "90", "converters.dcdc.output.continuous_A", "16", "converters.dcdc.output.peak_A", "16"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 16.5185, Capability: 16}},
		{Name: "a mode says its own air", Edits: ruletest.Edits("modes.night.ambient_C", "20",
			"converters.dcdc.derating", `[{"at_C": 20, "percent": 100}, {"at_C": 40, "percent": 50}]`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185, Capability: 20}},
		// Half of the 50 W of stop lamps: 198 W, 14.667 A.
		{Name: "duty counts", Edits: ruletest.Edits("loads.stop_left.duty_percent", "50", "loads.stop_right.duty_percent", "50"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 198 / 13.5}},
		{Name: "a lamp behind an open switch does not", Edits: ruletest.Edits("modes.night.closed", `["main", "lights"]`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 173 / 13.5}},
		{Name: "the float current of a battery does", Edits: auxiliary(nil),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185 + 0.5}},
		// 13.5 V / 27 Ohm = 0.5 A.
		{Name: "a plain coil does", Edits: coilAt("27"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185 + 0.5}},
		{Name: "an economiser holds with its holding current", Edits: economiser(nil),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185 + 0.1}},
		{Name: "a coil without resistance", Edits: ruletest.Edits("contactors.k", `{"contact": {}, "coil": {"nominal_V": 12}}`,
			"wires.w60", `{"from": "plus.stud", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "k.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.resistance_Ohm"}},
		{Name: "modes shorter than the peak are another rule's", Edits: ruletest.Edits("modes.night.lasts_s", "20"),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		{Name: "a converter that runs in no mode that is declared", Edits: ruletest.Edits("modes.night.closed", `["lights"]`, "modes.sounding.closed", `["lights"]`),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		// A dummy load of 13.5 Ohm takes 1 A.
		{Name: "a resistor across the network", Edits: ruletest.Edits("resistors.dummy", `{"role": "load", "resistance_Ohm": 13.5}`,
			"wires.w60", `{"from": "plus.stud", "to": "dummy.a", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "dummy.b", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 17.5185}},
		// A second converter of 13.5 W at 90 % takes 15 W: 1.1111 A.
		{Name: "a converter behind it", Edits: ruletest.Edits(
			"converters.five", `{"input": {"min_V": 9, "max_V": 16}, "output": {"nominal_V": 5, "continuous_A": 4}, "efficiency_percent": 90, "isolated": false}`,
			"loads.usb", `{"kind": "electronic", "power_W": 13.5, "at_V": 5}`,
			"modes.night.on", `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "plate", "electronics", "usb"]`,
			"wires.w60", `{"from": "plus.stud", "to": "five.in_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "five.in_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w62", `{"from": "five.out_pos", "to": "usb.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w63", `{"from": "usb.neg", "to": "five.out_neg", "size": "1.5 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185 + 15/13.5}},
	})
}

// Two in parallel: the one that is set higher carries all of it up to its limit, and
// its rating has no say in that.
func TestOverloadedParallel(t *testing.T) {
	second := func(output string, more ...string) []rules.Edit {
		return ruletest.Edits(append([]string{
			"converters.small", `{"input": {"min_V": 60, "max_V": 140}, "output": ` + output + `, "isolated": true}`,
			"wires.w60", `{"from": "main.drive_b", "to": "small.in_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "small.in_neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w62", `{"from": "small.out_pos", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w63", `{"from": "small.out_neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.1}`}, more...)...)
	}
	held := []string{"converters.dcdc.output.at_limit", `"constant-current"`}
	rule := overloaded()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "they hiccup: the rest is not taken over", Edits: second(`{"nominal_V": 13.5, "continuous_A": 10}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185, Capability: 20}},
		{Name: "a current share bus: 20 of 30 A, 11.012 A", Edits: second(`{"nominal_V": 13.5, "continuous_A": 10, "current_share": true}`, "converters.dcdc.output.current_share", "true"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.5185 * 20 / 30}},
		{Name: "the small one is set higher and has no limit of its own: all of it", Subject: "small", Edits: second(`{"nominal_V": 13.9, "continuous_A": 10}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 16.84, Relative: 0.01, Capability: 10}},
		{Name: "the small one rests in a limit above its rating", Subject: "small",
			Edits: second(`{"nominal_V": 13.9, "continuous_A": 10, "limit_A": 12, "at_limit": "constant-current"}`, held...),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 12, Relative: 0.002, Capability: 10, Fix: "current_share"}},
		{Name: "the small one rests in a limit that it is rated for", Subject: "small",
			Edits: second(`{"nominal_V": 13.9, "continuous_A": 12, "limit_A": 12, "at_limit": "constant-current"}`, held...),
			Want:  ruletest.Want{Verdict: rules.Passed, Demand: 12, Capability: 12}},
		// The sum of 16.5185 A less the 12 A.
		{Name: "and the large one has the rest", Edits: second(`{"nominal_V": 13.9, "continuous_A": 12, "limit_A": 12, "at_limit": "constant-current"}`, held...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 4.52, Relative: 0.02}},
	})
}

func coilAt(ohm string) []rules.Edit {
	return ruletest.Edits("contactors.k", `{"contact": {}, "coil": {"nominal_V": 12, "resistance_Ohm": `+ohm+`}}`,
		"wires.w60", `{"from": "plus.stud", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
		"wires.w61", `{"from": "k.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`)
}

// economiser is a coil that takes 4.1 A for an instant and holds with 0.1 A.
func economiser(more []rules.Edit) []rules.Edit {
	return append(ruletest.Edits("contactors.k", `{"contact": {}, "coil": {"nominal_V": 12, "drive": "economiser", "pickup_A": 4.1, "pickup_s": 0.1, "hold_A": 0.1}}`,
		"wires.w60", `{"from": "plus.stud", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
		"wires.w61", `{"from": "k.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`), more...)
}

// An overloaded converter without isolation does not count what is connected to the
// pack's side as its own.
func TestOverloadedOwnSideOnly(t *testing.T) {
	got := fixture.On(t, overloaded(), ruletest.Edits("converters.dcdc.isolated", "false", "converters.dcdc.isolation_V", "",
		"loads.heater", `{"kind": "resistive", "power_W": 900, "at_V": 96}`,
		"modes.night.on", `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "plate", "electronics", "heater"]`,
		"wires.w60", `{"from": "main.drive_b", "to": "heater.pos", "size": "1.5 mm2", "length_m": 0.1}`,
		"wires.w61", `{"from": "heater.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`)...)
	ruletest.Expect(t, got, "dcdc", ruletest.Want{Verdict: rules.Passed, Demand: 16.5185})
}

// The sum in the working is that of the terms before it.
func TestBudgetWorkingAddsUp(t *testing.T) {
	r := fixture.On(t, overloaded())["dcdc"]
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
