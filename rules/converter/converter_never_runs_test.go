package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestNeverRuns(t *testing.T) {
	rule := neverRuns()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "runs", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no mode feeds it", Edits: ruletest.Edits("modes.night.closed", `["lights"]`, "modes.sounding.closed", `["lights"]`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "enable held up by the key", Edits: ruletest.Edits("wires.w60", `{"from": "main.drive_b", "to": "dcdc.enable", "size": "1.5 mm2", "length_m": 0.1}`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "enable on the wrong side", Edits: ruletest.Edits("wires.w60", `{"from": "pack.neg", "to": "dcdc.enable", "size": "1.5 mm2", "length_m": 0.1}`), Want: ruletest.Want{Verdict: rules.Failed}},
	})
}
