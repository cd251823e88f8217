package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCutoutRestartsDrive(t *testing.T) {
	fixture.Play(t, cutoutRestartsDrive(), []ruletest.Scene{
		{Name: "the contactor closes again", Subject: "tc", Edits: withCutout(), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "by hand", Subject: "tc", Edits: withCutout("cutouts.tc.reset", `"manual"`), Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "a link", Subject: "tc", Edits: withCutout("cutouts.tc.one_shot", "true"), Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "not stated", Subject: "tc", Edits: withCutout("cutouts.tc.reset", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "cutouts.tc.reset"}},
		// The relay holds itself through its own contact, and a button that no mode presses starts it.
		{Name: "a relay that holds itself", Subject: "tc", Edits: withCutout(
			"contactors.k", "", "wires.k3.from", `"r.coil_neg"`, "wires.k4.to", `"r.common"`, "wires.k5", `{"from": "r.no", "to": "r.coil_pos", "size": "70 mm2", "length_m": 0.01}`,
			"wires.r1", "", "wires.r2", "", "contactors.k", `{"contact": {"carry_A": 100}, "coil": {"nominal_V": 12, "operate_V": 7, "release_V": 1.2, "resistance_Ohm": 24}}`,
			"wires.k6", `{"from": "r.no", "to": "k.coil_pos", "size": "70 mm2", "length_m": 0.01}`, "wires.k7", `{"from": "k.coil_neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.01}`),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a switch", Subject: "key.house", Edits: withCutout()},
	})
}
