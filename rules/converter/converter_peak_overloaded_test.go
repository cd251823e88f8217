package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Everything at once is 283 W / 13.5 V = 20.963 A, from 25 A for 30 s.
func TestPeakOverloaded(t *testing.T) {
	rule := peakOverloaded()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		// The mode lasts 10 s, within the peak's 30 s. In mode night 16.5185 A of
		// 20 A continuously is 1.211; this, 25 / 20.963 = 1.193, is tighter.
		{"the worked budget with the horn", nil, "",
			outcome{verdict: rules.Passed, mode: "sounding", demand: 20.963, capability: 25}},
		{"a peak below that, and no battery", edits{"converters.dcdc.output.peak_A": "20.5", "converters.dcdc.output.limit_A": "20.8"}, "",
			outcome{verdict: rules.Failed, level: rules.Error, demand: 20.963, capability: 20.5}},
		{"a peak shorter than the mode counts for nothing", edits{"converters.dcdc.output.peak_s": "4", "loads.horn.on_s": "8"}, "",
			outcome{verdict: rules.Failed, mode: "sounding", demand: 20.963, capability: 20}},
		{"but a horn within the peak is averaged in what lasts", edits{"converters.dcdc.output.peak_s": "6"}, "",
			outcome{verdict: rules.Passed, mode: "sounding", demand: 20.963, capability: 25}},
		{"how long the peak lasts is not given", edits{"converters.dcdc.output.peak_s": "", "converters.dcdc.output.peak_A": "20.9"}, "",
			outcome{verdict: rules.Failed}}, // 20 A continuously is short whatever the peak
		{"no peak is given", edits{"converters.dcdc.output.peak_A": "", "converters.dcdc.output.peak_s": ""}, "",
			outcome{verdict: rules.Failed, demand: 20.963, capability: 20}},
		// The peak of the battery lasts 5 s, the mode 10 s: its 15 A count.
		{"an auxiliary battery covers the rest", auxiliary(edits{"converters.dcdc.output.peak_A": "20", "converters.dcdc.output.limit_A": "21"}), "",
			outcome{verdict: rules.Passed, demand: 20.963 + 0.5, capability: 35}},
		{"unless it cannot: 20 + 1 A", auxiliary(edits{"converters.dcdc.output.peak_A": "20", "converters.dcdc.output.limit_A": "21",
			"batteries.aux.continuous_A": "1"}), "",
			outcome{verdict: rules.Failed, level: rules.Warning, demand: 20.963 + 0.5, capability: 21}},
		{"or nobody knows", auxiliary(edits{"converters.dcdc.output.peak_A": "20", "converters.dcdc.output.limit_A": "21",
			"batteries.aux.continuous_A": ""}), "",
			outcome{verdict: rules.NotChecked, missing: "batteries.aux.continuous_A"}},
		// 20.963 + 0.1 A, and 4 A more while it pulls in.
		{"an economiser that pulls in", economiser(nil), "",
			outcome{verdict: rules.Failed, demand: 25.063, capability: 25}},
		// 60 W at 13.5 V run with 4.444 A; the motor that replaces the horn starts
		// with 9 A: 20.963 + 4.556 A.
		{"a motor that starts", edits{"loads.horn.kind": `"motor"`, "loads.horn.stall_A": "9"}, "",
			outcome{verdict: rules.Failed, demand: 25.519, capability: 25}},
		{"follows from a continuous overload", edits{"converters.dcdc.output.continuous_A": "15", "converters.dcdc.output.peak_A": "18"}, "",
			outcome{verdict: rules.Failed, primary: "converter-overloaded/dcdc"}},
	})
}

// Turn lamps flash: with a duty and no on_s they count as brief (UN R6), so
// that they may be carried by the peak. A heater with the same duty may be on
// for long.
func TestPeakFlashers(t *testing.T) {
	rule := peakOverloaded()
	on := edits{"modes.sounding.on": `["dipped_left"]`,
		"modes.night.on": `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "plate", "electronics", "extra"]`,
		"wires.w60":      `{"from": "plus.stud", "to": "extra.pos", "size": "70 mm2", "length_m": 0.1}`,
		"wires.w61":      `{"from": "extra.neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.1}`}
	// 5 A more: 21.52 A at once, 19.02 A on average.
	on["loads.extra"] = `{"kind": "led", "power_W": 67.5, "at_V": 13.5, "duty_percent": 50}`
	expect(t, bench(t, rule, on), "dcdc", outcome{verdict: rules.Passed})
	on["loads.extra"] = `{"kind": "resistive", "power_W": 67.5, "at_V": 13.5, "duty_percent": 50}`
	expect(t, bench(t, rule, on), "dcdc", outcome{verdict: rules.Failed, demand: 21.5185, capability: 20})
	on["loads.extra"] = `{"kind": "resistive", "power_W": 67.5, "at_V": 13.5, "duty_percent": 50, "on_s": 20}`
	expect(t, bench(t, rule, on), "dcdc", outcome{verdict: rules.Passed})
}
