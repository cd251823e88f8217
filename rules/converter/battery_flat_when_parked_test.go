package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryFlatWhenParked(t *testing.T) {
	rule := batteryFlatWhenParked()
	// The converter before the key: 15 mA from 100 Ah last 277.8 days. Its
	// standby power is taken at the nominal 96 V.
	before := func(more []rules.Edit) []rules.Edit {
		return append(more, ruletest.Edits("wires.w2.to", `"dcdc.in_pos"`, "wires.w3.from", `"input_fuse.b"`)...)
	}
	meter := func(mA string) []rules.Edit {
		return ruletest.Edits("meters.gauge", `{"shows": "voltage", "supply_mA": `+mA+`, "max_V": 150}`,
			"wires.w60", `{"from": "input_fuse.b", "to": "gauge.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "gauge.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "nothing is left on", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a converter before the key", Edits: before(ruletest.Edits("loads.electronics.critical", "false")), Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 100 / 24.0 / 0.015, Relative: 2e-3}},
		// 100 Ah / (24 x 0.2 A) = 20.8 days.
		{Name: "a standby of 200 mA", Edits: before(ruletest.Edits("converters.dcdc.input.standby_mA", "200")), Subject: "pack",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 30, Capability: 20.83, Relative: 2e-3}},
		{Name: "or more patience", Edits: before(ruletest.Edits("converters.dcdc.input.standby_mA", "200", "policy.standby_days", "14")), Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "standby not given", Edits: before(ruletest.Edits("converters.dcdc.input.standby_mA", "")), Subject: "pack",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dcdc.input.standby_mA"}},
		{Name: "capacity not given", Edits: before(ruletest.Edits("batteries.pack.capacity_Ah", "")), Subject: "pack",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.capacity_Ah"}},
		{Name: "a voltmeter left on", Edits: meter("500"), Subject: "pack", Want: ruletest.Want{Verdict: rules.Failed, Capability: 100 / 24.0 / 0.5, Relative: 2e-3}},
		{Name: "the auxiliary battery behind open switches", Edits: auxiliary(nil), Subject: "aux", Want: ruletest.Want{Verdict: rules.Passed}},
		// 20 W of electronics at 12.6 V are 1.587 A: 10 Ah last 6.3 hours.
		{Name: "electronics that nothing switches", Edits: auxiliary(ruletest.Edits("modes.parked.on", `["electronics"]`)), Subject: "aux",
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 10 / 24.0 / (20 / 12.6), Relative: 0.01}},
		// An overnight mode with the isolator closed is not the parked state.
		{Name: "a mode with something closed does not count", Edits: ruletest.Edits("modes.overnight", `{"closed": ["main"], "on": ["electronics"]}`), Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		// Without a mode with everything open, the vehicle counts as parked.
		{Name: "unless there is no other", Edits: ruletest.Edits("converters.dcdc.input.standby_mA", "200", "wires.w2.to", `"isolator.a"`,
			"disconnects.isolator", `{"carry_A": 100, "rated_V_dc": 150}`, "wires.w3.from", `"input_fuse.b"`,
			"wires.w70", `{"from": "isolator.b", "to": "dcdc.in_pos", "size": "2.5 mm2", "length_m": 0.1}`,
			"modes.parked", `{"closed": ["isolator"]}`), Subject: "pack", Want: ruletest.Want{Verdict: rules.Failed, Capability: 20.83, Relative: 2e-3}},
		// A breaker that nobody opens is closed like a fuse; one that is opened over the winter is not.
		{Name: "a breaker that every mode closes", Edits: behindBreaker(`["input_fuse"]`), Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a breaker closed overnight", Edits: behindBreaker(`[]`), Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
	})
}

// behindBreaker puts a breaker in the place of the converter's fuse, and the converter
// behind an isolator that one mode of standing still leaves closed, and another not.
func behindBreaker(parked string) []rules.Edit {
	return ruletest.Edits("fuses.input_fuse", "", "breakers.input_fuse", `{"kind": "thermal-magnetic", "rated_A": 10}`,
		"converters.dcdc.input.standby_mA", "200", "wires.w2.to", `"isolator.a"`,
		"disconnects.isolator", `{"carry_A": 100, "rated_V_dc": 150}`, "wires.w3", "",
		"wires.w70", `{"from": "isolator.b", "to": "dcdc.in_pos", "size": "2.5 mm2", "length_m": 0.1}`,
		"modes.parked.closed", parked, "modes.overnight", `{"closed": ["input_fuse", "isolator"]}`,
		"modes.night.closed", `["main", "lights", "brake", "input_fuse"]`, "modes.sounding.closed", `["main", "lights", "brake", "horn_button", "input_fuse"]`)
}
