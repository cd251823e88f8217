package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// Full pack under regeneration: 56 V + 40 A x 15 mOhm = 56.6 V.
func TestVoltageLow(t *testing.T) {
	check(t, voltageLow(), []expectation{
		{name: "above", subject: "main", verdict: rules.Passed, demand: 56.6, capability: 80, headroom: 80 / 56.6},
		{name: "regeneration counts", change: edits{"fuses.main.rated_V_dc": "56.5"}, subject: "main", verdict: rules.Failed, demand: 56.6},
		{name: "at the limit", change: edits{"fuses.main.rated_V_dc": "56.6"}, subject: "main", verdict: rules.Passed, headroom: 1},
		{name: "not the nominal voltage", change: edits{"fuses.branch.rated_V_dc": "50"}, subject: "branch", verdict: rules.Failed, demand: 56.6},
		{name: "house network by its own source", subject: "house", verdict: rules.Passed, demand: 13.8, capability: 32},
		{name: "charger above the pack", change: edits{
			"chargers.charger":   `{"max_V": 58.4, "max_A": 10, "isolated": true}`,
			"wires.w_charge":     `{"from": "charger.pos", "to": "branch.b", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
			"wires.w_charge_neg": `{"from": "charger.neg", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		}, subject: "branch", verdict: rules.Passed, demand: 58.4},
		{name: "rating unknown", change: edits{"fuses.main.rated_V_dc": ""}, subject: "main", verdict: rules.NotChecked, missing: "fuses.main.rated_V_dc"},
		{name: "regeneration unknown", change: edits{"batteries.pack.resistance_mOhm": ""}, subject: "main", verdict: rules.NotChecked,
			missing: "batteries.pack.resistance_mOhm"},
		{name: "too low even without it", change: edits{"batteries.pack.resistance_mOhm": "", "fuses.main.rated_V_dc": "55"},
			subject: "main", verdict: rules.Failed, demand: 56},
		{name: "no regeneration, no need of it", change: edits{"batteries.pack.resistance_mOhm": "", "controllers.drive.regen_A": ""},
			subject: "main", verdict: rules.Passed, demand: 56},
	})
}

// Two packs in series: a fuse between them interrupts the whole string, and so
// does one behind it.
func TestVoltageOfString(t *testing.T) {
	series := edits{
		"batteries.upper":   `{"role": "traction", "min_V": 40, "nominal_V": 48, "max_V": 56, "resistance_mOhm": 15}`,
		"fuses.middle":      `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"wires.w_pack.from": `"upper.pos"`,
		"wires.w_middle":    `{"from": "pack.pos", "to": "middle.a", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_middle_2":  `{"from": "middle.b", "to": "upper.neg", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
	}
	// 112 V + 40 A x 30 mOhm = 113.2 V.
	check(t, voltageLow(), []expectation{
		{name: "behind", change: series, subject: "main", verdict: rules.Failed, demand: 113.2, capability: 80},
		{name: "between", change: series, subject: "middle", verdict: rules.Failed, demand: 113.2, capability: 80},
	})
}

// A 12 V network that shares its negative with the pack keeps its own voltage.
func TestVoltageWithCommonNegative(t *testing.T) {
	check(t, voltageLow(), []expectation{{
		name: "house", subject: "house", verdict: rules.Passed, demand: 13.8,
		change: edits{
			"converters.converter.isolated": "false",
			"wires.w_common":                `{"from": "pack.neg", "to": "converter.out_neg", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		},
	}})
}
