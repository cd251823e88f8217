package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The prospective current: the fuses count as nothing. Right behind main: 10
// mOhm of pack and 0.1 m of 35 mm2 (0.0554 mOhm): 56 V / 10.0554 mOhm = 5569.1 A.
// Behind branch 0.1 m of 2.5 mm2 (0.798 mOhm) more: 56 V / 10.8534 mOhm = 5159.7 A.
// With the fuses' own 0.5 and 5 mOhm it would be 3424 A.
func TestBreakingLow(t *testing.T) {
	fixture.Play(t, breakingLow(), []ruletest.Scene{
		{Name: "enough", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5569.1, Capability: 10000, Headroom: 10000 / 5569.1}},
		{Name: "too little", Edits: ruletest.Edits("fuses.main.breaking_A_dc", "5000"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 5569.1}},
		{Name: "smaller behind a branch", Edits: ruletest.Edits("fuses.branch.breaking_A_dc", "5000"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 5159.7}},
		{Name: "a converter's limit", Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 12, Capability: 1000}},
		// 0.6 x 15 mOhm by the policy: 56 / (9 + 0.0554) mOhm = 6184.2 A.
		{Name: "least resistance by the policy", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "15"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 6184.2}},
		// The maker's 4000 A stand for 14 mOhm: 56 / 14.0554 mOhm = 3984.2 A.
		{Name: "declared short-circuit current", Edits: ruletest.Edits("batteries.pack.short_circuit_A", "4000"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 3984.2}},
		{Name: "capacity unknown", Edits: ruletest.Edits("fuses.main.breaking_A_dc", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.breaking_A_dc"}},
		{Name: "resistance unknown", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "stated at a lower voltage", Edits: ruletest.Edits("fuses.main.breaking_at_V", "48"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "too little even there", Edits: ruletest.Edits("fuses.main.breaking_at_V", "48", "fuses.main.breaking_A_dc", "1000"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 5569.1}},
	})
}

// An auxiliary battery and a converter on the same side of a fuse add up; on
// opposite sides each makes a fault of its own.
func TestBreakingOfParallelSources(t *testing.T) {
	with := ruletest.Edits(
		"batteries.aux", `{"role": "auxiliary", "min_V": 10.5, "nominal_V": 12.6, "max_V": 14, "resistance_mOhm": {"min": 14, "typ": 20, "max": 40}}`,
		"fuses.aux_fuse", `{"class": "blade-high-current", "rated_A": 30, "rated_V_dc": 32, "breaking_A_dc": 1000, "drop_mV": 60}`,
		"wires.w_aux", `{"from": "aux.pos", "to": "aux_fuse.a", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_aux_2", `{"from": "aux_fuse.b", "to": "house.a", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_aux_neg", `{"from": "aux.neg", "to": "converter.out_neg", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"fuses.house.drop_mV", "50", "fuses.house.breaking_A_dc", "1200",
	)
	// aux_fuse: 14 V / (14 + 0.0554) mOhm = 996.1 A, the converter not among it.
	// house: 14 V / (14 + 2 x 0.0554) mOhm = 992.1 A, and 12 A of the converter.
	fixture.Play(t, breakingLow(), []ruletest.Scene{
		{Name: "opposite sides", Edits: with, Subject: "aux_fuse", Want: ruletest.Want{Verdict: rules.Passed, Demand: 996.1}},
		{Name: "same side", Edits: with, Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 1004.1}},
	})
}
