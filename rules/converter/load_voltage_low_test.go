package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLoadVoltageLow(t *testing.T) {
	rule := loadVoltageLow()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	// 20 m of 1.5 mm2 (IEC 60228 class 5: 13.3 mOhm/m) at 90 C are 0.3392 Ohm. A
	// constant 20 W through that and 1 mOhm of output: U = (13.5 + sqrt(13.5^2 -
	// 4 x 20 x 0.339)) / 2 = 12.978 V.
	long := edits{"wires.w19": `{"from": "plus.stud", "to": "electronics.pos", "size": "1.5 mm2", "length_m": 10}`,
		"wires.w35": `{"from": "electronics.neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 10}`}
	with := func(base, more edits) edits {
		out := edits{}
		for _, m := range []edits{base, more} {
			for k, v := range m {
				out[k] = v
			}
		}
		return out
	}
	play(t, rule, []scene{
		{"a long thin cable", long, "electronics", outcome{verdict: rules.Passed, demand: 9, capability: 12.966, relative: 2e-3}},
		{"too long for it", with(long, edits{"loads.electronics.min_V": "13.2"}), "electronics", outcome{verdict: rules.Failed, level: rules.Error}},
		{"what it needs is not given", edits{"loads.electronics.min_V": ""}, "electronics", outcome{verdict: rules.NotChecked, missing: "loads.electronics.min_V"}},
		{"no mode turns it on", edits{"loads.spotlight": `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9}`,
			"wires.w60": `{"from": "plus.stud", "to": "spotlight.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w61": `{"from": "spotlight.neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 1}`}, "spotlight",
			outcome{verdict: rules.NotChecked, missing: "a mode that turns on spotlight"}},
		// The minus of the second lamp ends on a stud that nothing else reaches.
		{"a return that leads nowhere", edits{"loads.spotlight": `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9}`, "studs.lost": "{}",
			"wires.w60": `{"from": "plus.stud", "to": "spotlight.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w61": `{"from": "spotlight.neg", "to": "lost.stud", "size": "1.5 mm2", "length_m": 1}`, "modes.night.on": `["spotlight"]`}, "spotlight",
			outcome{verdict: rules.Failed, level: rules.Error, mode: "night"}},
		{"a mode that turns it on behind an open switch", edits{"modes.night.closed": `["main", "lights"]`}, "stop_left",
			outcome{verdict: rules.Failed, level: rules.Warning, mode: "night"}},
		// The battery alone at 10.5 V behind 20 mOhm, 16 A and more: some 10.2 V.
		{"alone on a flat battery it is a warning", auxiliary(edits{"loads.electronics.min_V": "10.3"}), "electronics", outcome{verdict: rules.Failed, level: rules.Warning}},
		{"on a converter that gives up it follows from that", edits{"converters.dcdc.output.limit_A": "14", "converters.dcdc.output.continuous_A": "12", "converters.dcdc.output.peak_A": "14",
			"loads.electronics.min_V": "13"}, "electronics", outcome{verdict: rules.Failed, primary: "converter-overloaded/dcdc"}},
	})
	t.Run("one thin cable makes one finding", func(t *testing.T) {
		got := bench(t, rule, edits{"wires.w13.size": `"0.5 mm2"`, "wires.w13.length_m": "20", "loads.dipped_left.min_V": "12.5", "loads.tail_left.min_V": "12.4"})
		expect(t, got, "dipped_left", outcome{verdict: rules.Failed})
		expect(t, got, "tail_left", outcome{verdict: rules.Failed, primary: "load-voltage-low/dipped_left"})
		if got["dipped_left"].Primary != "" {
			t.Errorf("the primary finding follows from %s", got["dipped_left"].Primary)
		}
	})
	t.Run("a filament without a least voltage is silent", func(t *testing.T) {
		if r, ok := bench(t, rule, edits{"loads.plate.min_V": ""})["plate"]; ok {
			t.Errorf("got %s: %s", r.Verdict, r.Message)
		}
	})
	t.Run("a pilot lamp across a switch is dark on purpose", func(t *testing.T) {
		got := bench(t, rule, edits{"loads.find": `{"kind": "filament", "power_W": 1, "at_V": 12, "min_V": 1}`,
			"modes.night.on": `["dipped_left", "find"]`,
			"wires.w60":      `{"from": "lights.lamp_a", "to": "find.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61":      `{"from": "find.neg", "to": "lights.lamp_b", "size": "1.5 mm2", "length_m": 0.1}`})
		if got["find"].IsFinding() {
			t.Errorf("false alarm: %s", got["find"].Message)
		}
	})
}
