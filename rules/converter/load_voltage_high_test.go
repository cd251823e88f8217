package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLoadVoltageHigh(t *testing.T) {
	rule := loadVoltageHigh()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	pilot := func(max string) edits {
		return edits{"loads.pilot": `{"kind": "filament", "power_W": 5, "at_V": 96, "max_V": ` + max + `}`, "modes.night.on": `["pilot"]`,
			"wires.w60": `{"from": "main.drive_b", "to": "pilot.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "pilot.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`}
	}
	play(t, rule, []scene{
		{"on the converter", nil, "electronics", outcome{verdict: rules.Passed, demand: 13.5, capability: 16, relative: 5e-3}},
		{"on the pack the end of charge counts", pilot("100"), "pilot", outcome{verdict: rules.Failed, level: rules.Error, demand: 109.5, capability: 100}},
		{"and is borne", pilot("120"), "pilot", outcome{verdict: rules.Passed, demand: 109.5, capability: 120}},
		{"the battery's charging voltage counts", auxiliary(edits{"loads.electronics.max_V": "14"}), "electronics", outcome{verdict: rules.Failed, demand: 14.4, capability: 14, relative: 0.03}},
		{"not given", edits{"loads.electronics.max_V": ""}, "electronics", outcome{verdict: rules.NotChecked, missing: "loads.electronics.max_V"}},
	})
}
