package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBusbarOverlapShort(t *testing.T) {
	fixture.Play(t, busbarOverlapShort(), []ruletest.Scene{
		{Name: "no joint", Subject: "bar"},
		{Name: "five times 5 mm", Subject: "bar", Edits: ruletest.Edits("busbars.bar.overlap_mm", "25"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 25}},
		{Name: "less", Subject: "bar", Edits: ruletest.Edits("busbars.bar.overlap_mm", "20"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 25, Capability: 20}},
	})
}
