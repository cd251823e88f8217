package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// I_n (1 - 0.7 % x 10 K) = 9.3 A at 40 C; sqrt((120 - 40) / (120 - 30)) = 0.9428.
func TestBreakerOverloaded(t *testing.T) {
	fixture.Play(t, breakerOverloaded(), []ruletest.Scene{
		{Name: "10 A in 40 C", Subject: "cb", Edits: withBreaker(),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 9.3}},
		{Name: "5 A", Subject: "cb", Edits: withBreaker("breakers.cb.rated_A", "5"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 4.65, Fix: "a breaker of at least"}},
		{Name: "a bimetal at 120 C", Subject: "cb", Edits: withBreaker("breakers.cb.trip_element_C", "120"),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 9.428}},
		{Name: "an oil damper does not mind", Subject: "cb", Edits: withBreaker("breakers.cb.kind", `"hydraulic-magnetic"`),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 10}},
		{Name: "side by side", Subject: "cb", Edits: withBreaker("breakers.cb.grouped_percent", "80"),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 7.44}},
		{Name: "by its table", Subject: "cb", Edits: withBreaker("breakers.cb.ambient", `[{"at_C": 0, "percent": 110}, {"at_C": 50, "percent": 90}]`),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 9.4}},
		{Name: "beyond its table", Subject: "cb", Edits: withBreaker("breakers.cb.ambient", `[{"at_C": 0, "percent": 110}, {"at_C": 35, "percent": 95}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Fix: "no hotter than 35 C"}},
		{Name: "calibration not stated", Subject: "cb", Edits: withBreaker("breakers.cb.calibrated_C", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb.calibrated_C"}},
		{Name: "a fuse", Subject: "main", Edits: withBreaker()},
		{Name: "a spare breaker", Subject: "cb", Edits: withBreaker("breakers.cb.spare", "true")},
	})
}
