package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBreakerReversed(t *testing.T) {
	fixture.Play(t, breakerReversed(), []ruletest.Scene{
		{Name: "not polarized", Subject: "cb", Edits: withBreaker(),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "polarized, from a to b", Subject: "cb", Edits: withBreaker("breakers.cb.polarized", "true"),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "polarized, turned round", Subject: "cb", Edits: withBreaker("breakers.cb.polarized", "true", "wires.w_branch.to", `"cb.b"`, "wires.w_lamp.from", `"cb.a"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Fix: "exchange the conductors"}},
		{Name: "not stated, turned round", Subject: "cb", Edits: withBreaker("breakers.cb.polarized", "", "wires.w_branch.to", `"cb.b"`, "wires.w_lamp.from", `"cb.a"`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.polarized"}},
		{Name: "not stated, but no current that way", Subject: "cb", Edits: withBreaker("breakers.cb.polarized", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
