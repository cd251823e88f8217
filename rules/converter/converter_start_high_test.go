package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStartHigh(t *testing.T) {
	rule := startHigh()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "starts on an empty pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 66, Capability: 75}},
		{Name: "does not", Edits: ruletest.Edits("converters.dcdc.input.start_V", "76"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 76, Capability: 75}},
		{Name: "not given", Edits: ruletest.Edits("converters.dcdc.input.start_V", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dcdc.input.start_V"}},
	})
}
