package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Full pack under regeneration: 56 V + 40 A x 15 mOhm = 56.6 V.
func TestVoltageLow(t *testing.T) {
	fixture.Play(t, voltageLow(), []ruletest.Scene{
		{Name: "above", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 56.6, Capability: 80, Headroom: 80 / 56.6}},
		{Name: "regeneration counts", Edits: ruletest.Edits("fuses.main.rated_V_dc", "56.5"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 56.6}},
		{Name: "at the limit", Edits: ruletest.Edits("fuses.main.rated_V_dc", "56.6"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Headroom: 1}},
		{Name: "not the nominal voltage", Edits: ruletest.Edits("fuses.branch.rated_V_dc", "50"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 56.6}},
		{Name: "house network by its own source", Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 32}},
		{Name: "charger above the pack", Edits: ruletest.Edits(
			"chargers.charger", `{"max_V": 58.4, "max_A": 10, "isolated": true}`,
			"wires.w_charge", `{"from": "charger.pos", "to": "branch.b", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
			"wires.w_charge_neg", `{"from": "charger.neg", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		), Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 58.4}},
		{Name: "rating unknown", Edits: ruletest.Edits("fuses.main.rated_V_dc", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.rated_V_dc"}},
		{Name: "regeneration unknown", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "too low even without it", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "", "fuses.main.rated_V_dc", "55"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 56}},
		{Name: "no regeneration, no need of it", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "", "controllers.drive.regen_A", ""),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 56}},
	})
}

// Two packs in series: a fuse between them interrupts the whole string, and so
// does one behind it.
func TestVoltageOfString(t *testing.T) {
	series := ruletest.Edits(
		"batteries.upper", `{"role": "traction", "min_V": 40, "nominal_V": 48, "max_V": 56, "resistance_mOhm": 15}`,
		"fuses.middle", `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"wires.w_pack.from", `"upper.pos"`,
		"wires.w_middle", `{"from": "pack.pos", "to": "middle.a", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_middle_2", `{"from": "middle.b", "to": "upper.neg", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
	)
	// 112 V + 40 A x 30 mOhm = 113.2 V.
	fixture.Play(t, voltageLow(), []ruletest.Scene{
		{Name: "behind", Edits: series, Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 113.2, Capability: 80}},
		{Name: "between", Edits: series, Subject: "middle", Want: ruletest.Want{Verdict: rules.Failed, Demand: 113.2, Capability: 80}},
	})
}

// A 12 V network that shares its negative with the pack keeps its own voltage.
func TestVoltageWithCommonNegative(t *testing.T) {
	fixture.Play(t, voltageLow(), []ruletest.Scene{{
		Name: "house", Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8},
		Edits: ruletest.Edits(
			"converters.converter.isolated", "false",
			"wires.w_common", `{"from": "pack.neg", "to": "converter.out_neg", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		),
	}})
}
