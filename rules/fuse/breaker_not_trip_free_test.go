package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBreakerNotTripFree(t *testing.T) {
	fixture.Play(t, breakerNotTripFree(), []ruletest.Scene{
		{Name: "behind the main fuse", Subject: "cb", Edits: withBreaker("breakers.cb.trip_free", "false"),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the main device", Subject: "cb", Edits: withBreaker("breakers.cb.trip_free", "false", "fuses.main.spare", "true", "wires.w_pack", "", "wires.w_drive", "", "wires.w_branch.from", `"pack.pos"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "not stated", Subject: "cb", Edits: withBreaker("breakers.cb.trip_free", "", "fuses.main.spare", "true", "wires.w_pack", "", "wires.w_drive", "", "wires.w_branch.from", `"pack.pos"`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.trip_free"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
