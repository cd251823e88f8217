package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInputLow(t *testing.T) {
	rule := inputLow()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"a window above the pack's nominal voltage", edits{"converters.dcdc.input.min_V": "100", "converters.dcdc.input.start_V": "", "converters.dcdc.input.stop_V": ""}, "",
			outcome{verdict: rules.Failed, level: rules.Error, demand: 100, capability: 96}},
		{"a stiff pack at its cut-off", nil, "", outcome{verdict: rules.Passed, demand: 60, capability: 75}},
		{"a pack that may be emptier", edits{"batteries.pack.min_V": "59"}, "", outcome{verdict: rules.Failed, level: rules.Error, demand: 60, capability: 59}},
		{"one that stops it", edits{"batteries.pack.min_V": "55"}, "", outcome{verdict: rules.Failed}},
		// 4 A over 1 Ohm: from 61 V it stops, and then has 61 V again.
		{"one that it pulls down itself", edits{"batteries.pack.min_V": "61", "batteries.pack.resistance_mOhm": "1000", "converters.dcdc.input.stop_V": ""}, "",
			outcome{verdict: rules.Failed}},
		{"resistance not given", edits{"batteries.pack.resistance_mOhm": ""}, "",
			outcome{verdict: rules.NotChecked, missing: "batteries.pack.resistance_mOhm"}},
		// A motor takes 100 A from 75 V - 100 A x 0.2 Ohm = 55 V.
		{"the motor pulls it down", edits{"batteries.pack.resistance_mOhm": "200",
			"controllers.drive":            `{"min_V": 40, "max_V": 130}`,
			"modes.climb":                  `{"closed": ["main"], "draw": {"drive": {"current_A": 100}}}`,
			"wires.w60":                    `{"from": "main.drive_b", "to": "drive.pos", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w61":                    `{"from": "drive.neg", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`,
			"converters.dcdc.input.stop_V": "50"}, "",
			outcome{verdict: rules.Failed, mode: "climb", demand: 60, capability: 55, relative: 0.01}},
	})
}
