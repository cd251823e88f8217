package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCreepageSmall(t *testing.T) {
	fixture.Play(t, creepageSmall(), []ruletest.Scene{
		// 96 V: the row of 100 V, pollution degree 3, material group III: 2.2 mm (IEC
		// 60664-1 Table F.5, worked example).
		{Name: "open panel", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.2, Capability: 25}},
		{Name: "2 mm", Subject: "bar", Edits: ruletest.Edits("busbars.bar.creepage_mm", "2"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 2.2}},
		// 58.4 V: the row of 63 V, degree 2, group II: 0.9 mm (worked example).
		{Name: "a sealed box", Subject: "bar", Edits: append(low(), ruletest.Edits("policy.pollution_degree", "2", "policy.material_group", `"II"`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.9}},
		// A charger that does not isolate brings the mains' surges: 2.5 kV, 1.5 mm, by
		// 1.14 at 3000 m, more than the 1.25 mm of 63 V at degree 2.
		{Name: "a charger that does not isolate, at 3000 m", Subject: "bar",
			Edits: append(low(), ruletest.Edits("policy.pollution_degree", "2", "vehicle.altitude_m", "3000", "chargers.mains", `{"max_V": 58.4, "max_A": 10, "isolated": false}`,
				"wires.c1", `{"from": "mains.pos", "to": "joint.stud", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 125, "rated_V": 600}}`,
				"wires.c2", `{"from": "mains.neg", "to": "drive.neg", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 125, "rated_V": 600}}`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 1.71}},
		{Name: "not given", Subject: "joint", Edits: ruletest.Edits("studs.joint.creepage_mm", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "studs.joint.creepage_mm"}},
		{Name: "what regeneration adds is not known", Subject: "bar", Edits: ruletest.Edits("controllers.drive.regen_A", "40", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
	})
}
