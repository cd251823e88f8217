package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The main fuse is 2.4 m from the pack, and what is before it relies on the fuse
// inside: 56 V over 10 mOhm are 5600 A.
func TestInternalBreakingLow(t *testing.T) {
	inside := func(breaking string) []rules.Edit {
		edits := ruletest.Edits("wires.w_pack.length_m", "2.4", "batteries.pack.internal_fuse_A", "125")
		if breaking != "" {
			edits = append(edits, rules.Edit{Path: "batteries.pack.internal_fuse_breaking_A", Value: breaking})
		}
		return edits
	}
	fixture.Play(t, internalBreakingLow(), []ruletest.Scene{
		{Name: "too low", Edits: inside("5000"), Subject: "pack", Want: ruletest.Want{Verdict: rules.Failed, Demand: 5600, Capability: 5000}},
		{Name: "enough", Edits: inside("6000"), Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5600}},
		{Name: "not declared", Edits: inside(""), Subject: "pack", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.internal_fuse_breaking_A"}},
		{Name: "nothing relies on it", Edits: ruletest.Edits("batteries.pack.internal_fuse_A", "125"), Subject: "pack"},
		{Name: "no fuse inside", Edits: ruletest.Edits("wires.w_pack.length_m", "2.4"), Subject: "pack"},
	})
}
