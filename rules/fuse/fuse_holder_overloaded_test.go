package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestHolderOverloaded(t *testing.T) {
	holder := func(value string) []rules.Edit { return ruletest.Edits("fuses.branch.holder", value) }
	fixture.Play(t, holderOverloaded(), []ruletest.Scene{
		{Name: "large enough", Edits: holder(`{"rated_A": 30}`), Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10, Capability: 30, Headroom: 3}},
		{Name: "too small", Edits: holder(`{"rated_A": 7.5}`), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "rating unknown", Edits: holder(`{"rated_V_dc": 80}`), Subject: "branch", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.branch.holder.rated_A"}},
		{Name: "bolted link without a holder", Subject: "main"},
	})
}
