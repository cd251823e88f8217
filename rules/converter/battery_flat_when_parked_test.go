package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryFlatWhenParked(t *testing.T) {
	rule := batteryFlatWhenParked()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	// The converter before the key: 15 mA from 100 Ah last 277.8 days. Its
	// standby power is taken at the nominal 96 V.
	before := func(more edits) edits {
		more["wires.w2.to"], more["wires.w3.from"] = `"dcdc.in_pos"`, `"input_fuse.b"`
		return more
	}
	meter := func(mA string) edits {
		return edits{"meters.gauge": `{"shows": "voltage", "supply_mA": ` + mA + `, "max_V": 150}`,
			"wires.w60": `{"from": "input_fuse.b", "to": "gauge.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "gauge.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`}
	}
	play(t, rule, []scene{
		{"nothing is left on", nil, "pack", outcome{verdict: rules.Passed}},
		{"a converter before the key", before(edits{"loads.electronics.critical": "false"}), "pack", outcome{verdict: rules.Passed, demand: 30, capability: 100 / 24.0 / 0.015, relative: 2e-3}},
		// 100 Ah / (24 x 0.2 A) = 20.8 days.
		{"a standby of 200 mA", before(edits{"converters.dcdc.input.standby_mA": "200"}), "pack",
			outcome{verdict: rules.Failed, level: rules.Warning, demand: 30, capability: 20.83, relative: 2e-3}},
		{"or more patience", before(edits{"converters.dcdc.input.standby_mA": "200", "policy.standby_days": "14"}), "pack", outcome{verdict: rules.Passed}},
		{"standby not given", before(edits{"converters.dcdc.input.standby_mA": ""}), "pack",
			outcome{verdict: rules.NotChecked, missing: "converters.dcdc.input.standby_mA"}},
		{"capacity not given", before(edits{"batteries.pack.capacity_Ah": ""}), "pack",
			outcome{verdict: rules.NotChecked, missing: "batteries.pack.capacity_Ah"}},
		{"a voltmeter left on", meter("500"), "pack", outcome{verdict: rules.Failed, capability: 100 / 24.0 / 0.5, relative: 2e-3}},
		{"the auxiliary battery behind open switches", auxiliary(nil), "aux", outcome{verdict: rules.Passed}},
		// 20 W of electronics at 12.6 V are 1.587 A: 10 Ah last 6.3 hours.
		{"electronics that nothing switches", auxiliary(edits{"modes.parked.on": `["electronics"]`}), "aux",
			outcome{verdict: rules.Failed, capability: 10 / 24.0 / (20 / 12.6), relative: 0.01}},
		// An overnight mode with the isolator closed is not the parked state.
		{"a mode with something closed does not count", edits{"modes.overnight": `{"closed": ["main"], "on": ["electronics"]}`}, "pack", outcome{verdict: rules.Passed}},
		// Without a mode with everything open, the vehicle stands as it is parked.
		{"unless there is no other", edits{"converters.dcdc.input.standby_mA": "200", "wires.w2.to": `"isolator.a"`,
			"disconnects.isolator": `{"carry_A": 100, "rated_V_dc": 150}`, "wires.w3.from": `"input_fuse.b"`,
			"wires.w70":    `{"from": "isolator.b", "to": "dcdc.in_pos", "size": "2.5 mm2", "length_m": 0.1}`,
			"modes.parked": `{"closed": ["isolator"]}`}, "pack", outcome{verdict: rules.Failed, capability: 20.83, relative: 2e-3}},
	})
}
