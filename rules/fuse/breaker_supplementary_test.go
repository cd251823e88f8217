package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBreakerSupplementary(t *testing.T) {
	fixture.Play(t, breakerSupplementary(), []ruletest.Scene{
		{Name: "behind the main fuse", Subject: "cb", Edits: withBreaker("breakers.cb.standard", `"UL 1077"`),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "alone", Subject: "cb", Edits: withBreaker("breakers.cb.standard", `"UL 1077"`, "fuses.main.spare", "true", "wires.w_pack", "", "wires.w_drive", "", "wires.w_branch.from", `"pack.pos"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "another standard", Subject: "cb", Edits: withBreaker("fuses.main.spare", "true", "wires.w_pack", "", "wires.w_drive", "", "wires.w_branch.from", `"pack.pos"`),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
