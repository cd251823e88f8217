package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBreakerSlowerThanFuse(t *testing.T) {
	fixture.Play(t, breakerSlowerThanFuse(), []ruletest.Scene{
		{Name: "behind 100 A", Subject: "cb", Edits: withBreaker("breakers.cb.instant.clears_s", "0.01"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a magnet that needs a second", Subject: "cb", Edits: withBreaker("breakers.cb.instant.clears_s", "1", "breakers.cb.total_I2t_A2s", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 1}},
		{Name: "what it trips at is not known", Subject: "cb", Edits: withBreaker("breakers.cb.standard", `"UL 1077"`, "breakers.cb.trip", "", "breakers.cb.instant", "", "breakers.cb.total_I2t_A2s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.trip.must_trip_percent"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
