package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestHolderVoltageLow(t *testing.T) {
	holder := func(value string) []rules.Edit { return ruletest.Edits("fuses.branch.holder", value) }
	fixture.Play(t, holderVoltageLow(), []ruletest.Scene{
		{Name: "high enough", Edits: holder(`{"rated_V_dc": 80}`), Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 56.6, Capability: 80}},
		{Name: "a holder for 12 V", Edits: holder(`{"rated_V_dc": 32}`), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "voltage unknown", Edits: holder(`{"rated_A": 30}`), Subject: "branch", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.branch.holder.rated_V_dc"}},
		{Name: "no holder", Subject: "main"},
	})
}
