package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The pack drives 5.6 kA into a short circuit at its terminals, less what copper leaves.
func TestBreakerBreakingLow(t *testing.T) {
	fixture.Play(t, breakerBreakingLow(), []ruletest.Scene{
		{Name: "10 kA", Subject: "cb", Edits: withBreaker(),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 10000}},
		{Name: "1 kA", Subject: "cb", Edits: withBreaker("breakers.cb.breaking_A_dc", "1000"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 1000}},
		{Name: "once", Subject: "cb", Edits: withBreaker("breakers.cb.breaking_for", `"once"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "stated for 48 V", Subject: "cb", Edits: withBreaker("breakers.cb.breaking_at_V", "48"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "not given", Subject: "cb", Edits: withBreaker("breakers.cb.breaking_A_dc", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.breaking_A_dc"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
