package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBreakerTripsInUse(t *testing.T) {
	fixture.Play(t, breakerTripsInUse(), []ruletest.Scene{
		{Name: "C 10 A", Subject: "cb", Edits: withBreaker(),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 70.71}},
		{Name: "stated for DC", Subject: "cb", Edits: withBreaker("breakers.cb.instant.stated_for", `"dc"`),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 50}},
		{Name: "a magnet at 5 A", Subject: "cb", Edits: withBreaker("breakers.cb.rated_A", "5", "breakers.cb.instant", `{"min": 1, "max": 2, "stated_for": "dc"}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 5}},
		{Name: "a bimetal alone", Subject: "cb", Edits: withBreaker("breakers.cb.kind", `"thermal"`, "breakers.cb.instant", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not stated", Subject: "cb", Edits: withBreaker("breakers.cb.instant", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.instant"}},
		// 56 V over some 52 mOhm, 1.1 kA, less what the inductance of 3 m there and back takes.
		{Name: "empty capacitors of a converter", Subject: "cb", Edits: withBreaker("converters.converter.input.capacitance_uF", "1000"),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 70.71, Message: "into the empty capacitors of converter"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
