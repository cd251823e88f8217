package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBreakerResetsItself(t *testing.T) {
	fixture.Play(t, breakerResetsItself(), []ruletest.Scene{
		{Name: "by hand", Subject: "cb", Edits: withBreaker(),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "by itself, on the pack", Subject: "cb", Edits: withBreaker("breakers.cb.reset", `"automatic"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "not stated", Subject: "cb", Edits: withBreaker("breakers.cb.reset", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.reset"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
