package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCutoffRegenerationHigh(t *testing.T) {
	rule := cutoffRegenerationHigh()
	weak := ruletest.Edits("meters.voltmeter.max_V", "60")
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "everything is rated for the controller's limit", Subject: "drive",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 75, Mode: "brake"}},
		{Name: "a meter does not", Subject: "drive", Edits: weak,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 70, Capability: 60, Message: "voltmeter is rated 60 V"}},
		{Name: "the meter is switched off then", Subject: "drive",
			Edits: append(weak, ruletest.Edits("switches.dash", `{"role": "other", "poles": {"p": {"carry_A": 1}}}`, "wires.w9.to", `"dash.p_a"`,
				"wires.w11", `{"from": "dash.p_b", "to": "voltmeter.pos", "size": "1.5 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "nothing"}},
		{Name: "no cut-off stated", Subject: "drive", Edits: append(weak, ruletest.Edits("batteries.pack.cutoff", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.cutoff"}},
		{Name: "lead-acid has none", Subject: "drive", Edits: append(weak, ruletest.Edits("batteries.pack.cutoff", "", "batteries.pack.chemistry", `"lead-acid"`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no regeneration", Subject: "drive", Edits: append(weak, ruletest.Edits("controllers.drive.regen_A", "", "modes.brake", "")...)},
	})
}
