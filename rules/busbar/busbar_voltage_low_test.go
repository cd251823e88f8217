package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBusbarVoltageLow(t *testing.T) {
	fixture.Play(t, busbarVoltageLow(), []ruletest.Scene{
		{Name: "supports for 1000 V", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 96, Capability: 1000}},
		{Name: "supports for 60 V", Subject: "bar", Edits: ruletest.Edits("busbars.bar.rated_V", "60"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 60}},
		{Name: "not rated", Subject: "bar", Edits: ruletest.Edits("busbars.bar.rated_V", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "busbars.bar.rated_V"}},
		{Name: "not rated below 60 V", Subject: "bar", Edits: append(low(), ruletest.Edits("busbars.bar.rated_V", "")...)},
	})
}
