package battery

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCutoffRegenerationHigh(t *testing.T) {
	rule := cutoffRegenerationHigh()
	weak := ruletest.Edits("meters.voltmeter.max_V", "60")
	undeclared := ruletest.Edits("controllers.drive.overvoltage_V", "", "controllers.drive.overvoltage_reaction_us", "")
	fixture.Play(t, rule, []ruletest.Scene{
		// 40 A into 1000 uF: 40 V/ms, in 0.1 ms 4 V above the 60 V.
		{Name: "everything is rated for what it reaches", Subject: "drive",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 64, Capability: 70, Mode: "brake"}},
		{Name: "too slow", Subject: "drive", Edits: ruletest.Edits("controllers.drive.overvoltage_reaction_us", "300"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 72, Capability: 70, Message: "at 40 V/ms; drive is rated 70 V"}},
		// It is at 54.3 V already when its own limit is at 50 V.
		{Name: "a limit below the full pack", Subject: "drive", Edits: ruletest.Edits("controllers.drive.overvoltage_V", "50"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 58.3, Capability: 70, Relative: 0.01}},
		{Name: "the charge of a second controller", Subject: "drive", Edits: ruletest.Edits(
			"controllers.second", `{"min_V": 30, "max_V": 70, "capacitance_uF": 1000, "regen_A": 120}`,
			"wires.w11", `{"from": "plus.stud", "to": "second.pos", "size": "70 mm2", "length_m": 0.01}`,
			"wires.w12", `{"from": "second.neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.01}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 68, Capability: 70}},
		{Name: "the time is not stated", Subject: "drive", Edits: ruletest.Edits("controllers.drive.overvoltage_reaction_us", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.overvoltage_reaction_us"}},
		{Name: "nor the capacitance", Subject: "drive", Edits: ruletest.Edits("controllers.drive.capacitance_uF", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.capacitance_uF"}},
		{Name: "nor the voltage", Subject: "drive", Edits: undeclared, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.overvoltage_V"}},
		{Name: "a meter is the weakest", Subject: "drive", Edits: append(weak, undeclared...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 70, Capability: 60, Message: "in mode brake, at 40 V/ms; voltmeter is rated 60 V"}},
		{Name: "a meter weaker than the limit of the controller", Subject: "drive", Edits: ruletest.Edits("meters.voltmeter.max_V", "58", "controllers.drive.overvoltage_reaction_us", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 60, Capability: 58}},
		{Name: "the meter is switched off then", Subject: "drive",
			Edits: slices.Concat(weak, undeclared, ruletest.Edits("switches.dash", `{"role": "other", "poles": {"p": {"carry_A": 1}}}`, "wires.w9.to", `"dash.p_a"`,
				"wires.w11", `{"from": "dash.p_b", "to": "voltmeter.pos", "size": "1.5 mm2", "length_m": 0.1}`)),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.overvoltage_V"}},
		{Name: "whatever opens, cut-off or not", Subject: "drive", Edits: slices.Concat(weak, undeclared, ruletest.Edits("batteries.pack.cutoff", "")),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 70, Capability: 60}},
		// What hangs at the pack itself is left to the cut-off alone.
		{Name: "a meter at the pack, whose cut-off is stated", Subject: "drive", Edits: append(weak, ruletest.Edits("wires.w9.from", `"pack.pos"`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "when the pack cuts off"}},
		{Name: "and is not", Subject: "drive", Edits: append(weak, ruletest.Edits("wires.w9.from", `"pack.pos"`, "batteries.pack.cutoff", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.cutoff"}},
		{Name: "and lead-acid has none", Subject: "drive", Edits: append(weak, ruletest.Edits("wires.w9.from", `"pack.pos"`, "batteries.pack.cutoff", "", "batteries.pack.chemistry", `"lead-acid"`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 64, Capability: 70}},
		{Name: "no regeneration", Subject: "drive", Edits: append(weak, ruletest.Edits("controllers.drive.regen_A", "", "modes.brake", "")...)},
	})
}
