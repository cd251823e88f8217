package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestWorn(t *testing.T) {
	fixture.Play(t, worn(), []ruletest.Scene{
		{Name: "once a month", Want: ruletest.Want{Verdict: rules.Passed, Demand: 120, Capability: 500}},
		{Name: "daily", Edits: ruletest.Edits("connectors.plug.matings_per_year", "300"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 3000}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.mating_cycles", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.mating_cycles"}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
