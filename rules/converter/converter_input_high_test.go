package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInputHigh(t *testing.T) {
	rule := inputHigh()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	charger := func(volts string) edits {
		return edits{"chargers.plug": `{"max_V": ` + volts + `, "max_A": 10, "isolated": true, "pluggable": true}`,
			"wires.w60": `{"from": "plug.pos", "to": "main.drive_b", "size": "4 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "plug.neg", "to": "pack.neg", "size": "4 mm2", "length_m": 0.1}`}
	}
	play(t, rule, []scene{
		{"the end of charge", nil, "", outcome{verdict: rules.Passed, demand: 109.5, capability: 140}},
		{"not the nominal voltage", edits{"converters.dcdc.input.max_V": "100"}, "", outcome{verdict: rules.Failed, level: rules.Error, demand: 109.5, capability: 100}},
		{"a charger that goes on when the battery lets go", charger("145"), "", outcome{verdict: rules.Failed, demand: 145, capability: 140}},
		{"a charger that does not", charger("110"), "", outcome{verdict: rules.Passed, demand: 110, capability: 140}},
		// 40 A fed back into 109.5 V behind 0.5 Ohm raise it by 20 V.
		{"regeneration into a full pack", edits{"batteries.pack.resistance_mOhm": "500", "converters.dcdc.input.max_V": "125",
			"controllers.drive": `{"min_V": 40, "max_V": 150, "regen_A": 40}`,
			"modes.down":        `{"closed": ["main"], "draw": {"drive": {"regen_A": 40}}}`,
			"wires.w60":         `{"from": "main.drive_b", "to": "drive.pos", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w61":         `{"from": "drive.neg", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`}, "",
			outcome{verdict: rules.Failed, mode: "down", demand: 129.5, capability: 125, relative: 0.01}},
	})
}
