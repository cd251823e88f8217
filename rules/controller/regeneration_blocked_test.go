package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestRegenerationBlocked(t *testing.T) {
	rule := regenerationBlocked()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "it flows back", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 27, Capability: 30, Mode: "brake"}},
		{Name: "a diode in the way", Subject: "drive",
			Edits: ruletest.Edits("diodes.d", `{"forward_V": 0.8, "continuous_A": 200}`, "wires.w2.to", `"d.anode"`,
				"wires.w40", `{"from": "d.cathode", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 27, Mode: "brake"}},
		{Name: "a contact in the way that nothing closes", Subject: "drive",
			Edits: ruletest.Edits("disconnects.d", `{"carry_A": 200}`, "wires.w2.to", `"d.a"`, "wires.w40", `{"from": "d.b", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 27, Mode: "brake", Primary: "controller-undervoltage/drive"}},
		{Name: "a contact that one of two modes closes", Subject: "drive", // 0.9 x 20 A
			Edits: ruletest.Edits("disconnects.d", `{"carry_A": 200}`, "wires.w2.to", `"d.a"`, "wires.w40", `{"from": "d.b", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`,
				"modes.brake.closed", `["d"]`, "modes.coast", `{"draw": {"drive": {"regen_A": 20}}, "lasts_s": 20, "every_s": 600}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 18, Mode: "coast", Primary: "controller-undervoltage/drive"}},
		{Name: "it feeds nothing back", Subject: "drive", Edits: ruletest.Edits("modes.brake", ""), Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
