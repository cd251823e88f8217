package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Copper at 90 C has 1.2751 times its resistance. At the far end of w_drive: 30
// mOhm of pack, 0.5 mOhm of fuse, 2.2 m of 35 mm2 (1.5541 mOhm): 40 V / 32.054
// mOhm = 1247.9 A. At the lamp: 30 + 0.5 + 5 mOhm, 1.2 m of 35 mm2 (0.8477; w_pack
// and w_drive_neg), 4.1 m of 2.5 mm2 (41.720): 40 V / 78.067 mOhm = 512.4 A.
//
// main opens within 5 s from 200 (350/200)^x A on, x = ln(5/15)/ln(2/15) =
// 0.54525: 271.4 A. branch from 20 (100/20)^x A on, x = ln(5/20)/ln(0.05/20) =
// 0.23138: 29.02 A.
func TestFarFaultSlow(t *testing.T) {
	fixture.Play(t, farFaultSlow(), []ruletest.Scene{
		{Name: "main", Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 271.4, Capability: 1247.9, Headroom: 1247.9 / 271.4}},
		{Name: "branch", Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed, Demand: 29.02, Capability: 512.4}},
		{Name: "its return", Subject: "w_lamp_neg", Want: ruletest.Want{Verdict: rules.Passed, Demand: 29.02, Capability: 512.4}},
		{Name: "long lead", Edits: ruletest.Edits("wires.w_lamp.length_m", "150"), Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Failed, Demand: 29.02, Primary: "fuse-far-fault-slow/w_in"}},
		{Name: "faster clearing asked", Edits: ruletest.Edits("policy.fault_clearing_s", "0.4", "batteries.pack.resistance_mOhm.max", "100"),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuse-far-fault-slow/w_drive_neg"}},
		{Name: "limited source that the wire withstands", Subject: "w_pilot", Want: ruletest.Want{Verdict: rules.Passed, Demand: 12}},
		{Name: "resistance unknown", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "batteries.pack.resistance_mOhm"}},
	})
}

// Behind a pre-charge resistor no short circuit ever opens the fuse, and none
// needs to: the lead carries all that can flow.
func TestFarFaultBehindAResistor(t *testing.T) {
	fixture.Play(t, farFaultSlow(), []ruletest.Scene{{
		Name: "behind", Subject: "w_soft", Want: ruletest.Want{Verdict: rules.Passed, Message: "A in a short circuit, ampacity"},
		Edits: ruletest.Edits(
			"resistors.soft", `{"role": "precharge", "resistance_Ohm": 100}`,
			"wires.w_tap", `{"from": "branch.b", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.2, "insulation": {"max_C": 90}}`,
			"loads.sensor", `{"kind": "resistive", "power_W": 1, "at_V": 48}`,
			"wires.w_soft", `{"from": "soft.b", "to": "sensor.pos", "size": "0.5 mm2", "length_m": 3, "insulation": {"max_C": 90}}`,
			"wires.w_soft_neg", `{"from": "sensor.neg", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 0.2, "insulation": {"max_C": 90}}`,
		),
	}})
}
