package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 56 V full, and 40 A fed back into 15 mOhm.
func TestBreakerVoltageLow(t *testing.T) {
	fixture.Play(t, breakerVoltageLow(), []ruletest.Scene{
		{Name: "80 V", Subject: "cb", Edits: withBreaker(),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 56.6, Capability: 80}},
		{Name: "48 V", Subject: "cb", Edits: withBreaker("breakers.cb.rated_V_dc", "48"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 56.6, Capability: 48, Fix: "57 V DC"}},
		{Name: "an AC rating counts for nothing", Subject: "cb", Edits: withBreaker("breakers.cb.rated_V_dc", "", "breakers.cb.rated_V_ac", "230"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.rated_V_dc"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
