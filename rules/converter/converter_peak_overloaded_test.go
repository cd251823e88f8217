package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Everything at once is 283 W / 13.5 V = 20.963 A, from 25 A for 30 s.
func TestPeakOverloaded(t *testing.T) {
	rule := peakOverloaded()
	fixture.Play(t, rule, []ruletest.Scene{
		// The mode lasts 10 s, within the peak's 30 s. In mode night 16.5185 A of
		// 20 A continuously is 1.211; this, 25 / 20.963 = 1.193, is tighter.
		{Name: "the worked budget with the horn",
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "sounding", Demand: 20.963, Capability: 25}},
		{Name: "a peak below that, and no battery", Edits: ruletest.Edits("converters.dcdc.output.peak_A", "20.5", "converters.dcdc.output.limit_A", "20.8"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 20.963, Capability: 20.5}},
		{Name: "a peak shorter than the mode counts for nothing", Edits: ruletest.Edits("converters.dcdc.output.peak_s", "4", "loads.horn.on_s", "8"),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "sounding", Demand: 20.963, Capability: 20}},
		{Name: "but a horn within the peak is averaged in what lasts", Edits: ruletest.Edits("converters.dcdc.output.peak_s", "6"),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "sounding", Demand: 20.963, Capability: 25}},
		{Name: "how long the peak lasts is not given", Edits: ruletest.Edits("converters.dcdc.output.peak_s", "", "converters.dcdc.output.peak_A", "20.9"),
			Want: ruletest.Want{Verdict: rules.Failed}}, // 20 A continuously is short whatever the peak
		{Name: "no peak is given", Edits: ruletest.Edits("converters.dcdc.output.peak_A", "", "converters.dcdc.output.peak_s", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 20.963, Capability: 20}},
		// The peak of the battery lasts 5 s, the mode 10 s: its 15 A count.
		{Name: "an auxiliary battery covers the rest", Edits: auxiliary(ruletest.Edits("converters.dcdc.output.peak_A", "20", "converters.dcdc.output.limit_A", "21")),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 20.963 + 0.5, Capability: 35}},
		{Name: "unless it cannot: 20 + 1 A", Edits: auxiliary(ruletest.Edits("converters.dcdc.output.peak_A", "20", "converters.dcdc.output.limit_A", "21",
			"batteries.aux.continuous_A", "1")),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 20.963 + 0.5, Capability: 21}},
		{Name: "or nobody knows", Edits: auxiliary(ruletest.Edits("converters.dcdc.output.peak_A", "20", "converters.dcdc.output.limit_A", "21",
			"batteries.aux.continuous_A", "")),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.aux.continuous_A"}},
		// 20.963 + 0.1 A, and 4 A more while it pulls in.
		{Name: "an economiser that pulls in", Edits: economiser(nil),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 25.063, Capability: 25}},
		// 60 W at 13.5 V run with 4.444 A; the motor that replaces the horn starts
		// with 9 A: 20.963 + 4.556 A.
		{Name: "a motor that starts", Edits: ruletest.Edits("loads.horn.kind", `"motor"`, "loads.horn.stall_A", "9"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 25.519, Capability: 25}},
		{Name: "follows from a continuous overload", Edits: ruletest.Edits("converters.dcdc.output.continuous_A", "15", "converters.dcdc.output.peak_A", "18"),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "converter-overloaded/dcdc"}},
	})
}

// Turn lamps flash: with a duty and no on_s they count as brief (UN R6), so
// that they may be carried by the peak. A heater with the same duty may be on
// for long.
func TestPeakFlashers(t *testing.T) {
	rule := peakOverloaded()
	const follows = "converter-overloaded/dcdc"
	with := func(extra string) map[string]rules.Result {
		return fixture.On(t, rule, ruletest.Edits("loads.extra", extra,
			"modes.sounding.on", `["dipped_left"]`,
			"modes.night.on", `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "plate", "electronics", "extra"]`,
			"wires.w60", `{"from": "plus.stud", "to": "extra.pos", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "extra.neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.1}`)...)
	}
	// 5 A more: 21.52 A at once, 19.02 A on average.
	ruletest.Expect(t, with(`{"kind": "led", "power_W": 67.5, "at_V": 13.5, "duty_percent": 50}`), "dcdc", ruletest.Want{Verdict: rules.Passed, Primary: follows})
	ruletest.Expect(t, with(`{"kind": "resistive", "power_W": 67.5, "at_V": 13.5, "duty_percent": 50}`), "dcdc", ruletest.Want{Verdict: rules.Failed, Demand: 21.5185, Capability: 20, Primary: follows})
	ruletest.Expect(t, with(`{"kind": "resistive", "power_W": 67.5, "at_V": 13.5, "duty_percent": 50, "on_s": 20}`), "dcdc", ruletest.Want{Verdict: rules.Passed, Primary: follows})
}
