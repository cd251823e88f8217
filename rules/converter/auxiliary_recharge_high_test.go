package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A flat battery of 10.5 V at 20 mOhm asks 13.5 V for 150 A and more; the converter
// limits at 26 A.
func TestAuxiliaryRechargeHigh(t *testing.T) {
	fused := func(ampere string, more ...string) []rules.Edit {
		return auxiliary(ruletest.Edits(append([]string{
			"fuses.aux_fuse", `{"class": "bolt-down", "rated_A": ` + ampere + `, "rated_V_dc": 32, "breaking_A_dc": 2000}`,
			"wires.w50", `{"from": "aux.pos", "to": "aux_fuse.a", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w52", `{"from": "aux_fuse.b", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`}, more...)...))
	}
	fixture.Play(t, auxiliaryRechargeHigh(), []ruletest.Scene{
		{Name: "no battery", Subject: "aux"},
		// 30 A x (1 - 0.2 %/K x 15 K) = 29.1 A for the 0.4 h that 10 Ah last.
		{Name: "a fuse that holds it while it lasts", Subject: "aux", Edits: fused("30"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 26, Capability: 29.1}},
		// 30 A x 0.80 x 0.97 = 23.28 A.
		{Name: "but not for hours", Subject: "aux", Edits: fused("30", "batteries.aux.capacity_Ah", "100"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 26, Capability: 23.28, Fix: "40 A"}},
		{Name: "nor where nobody knows how long", Subject: "aux", Edits: fused("30", "batteries.aux.capacity_Ah", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 26, Capability: 23.28}},
		{Name: "a fuse for floating", Subject: "aux", Edits: fused("10"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 26, Capability: 9.7}},
		{Name: "a thin wire", Subject: "aux", Edits: auxiliary(ruletest.Edits("wires.w50.size", `"1 mm2"`)), Want: ruletest.Want{Verdict: rules.Failed, Message: "w50", Primary: "limited-source-unprotected/w50"}},
		{Name: "two wires side by side share it", Subject: "aux", Edits: auxiliary(ruletest.Edits("wires.w50.size", `"2.5 mm2"`,
			"wires.w52", `{"from": "aux.pos", "to": "plus.stud", "size": "2.5 mm2", "length_m": 0.1}`)), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a class without rules", Subject: "aux", Edits: fused("60", "fuses.aux_fuse.class", `"other"`), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.aux_fuse.class"}},
		{Name: "a battery that limits it itself: 3 V over 0.6 Ohm, its least, and the leads", Subject: "aux", Edits: fused("10", "batteries.aux.resistance_mOhm", "1000"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 4.909}},
	})
}
