package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInternalOpensFirst(t *testing.T) {
	inside := func(amperes string) []rules.Edit { return ruletest.Edits("batteries.pack.internal_fuse_A", amperes) }
	fixture.Play(t, internalOpensFirst(), []ruletest.Scene{
		{Name: "1.6 times the main fuse", Edits: inside("162"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100, Capability: 100.44}},
		{Name: "less", Edits: inside("150"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 100, Capability: 93}},
		{Name: "none inside", Subject: "main"},
		{Name: "a branch", Edits: inside("150"), Subject: "branch"},
	})
}
