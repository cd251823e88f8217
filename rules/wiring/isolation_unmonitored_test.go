package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestIsolationUnmonitored(t *testing.T) {
	rule := isolationUnmonitored()
	for _, tc := range []struct {
		name, vehicle string
		edits         []rules.Edit
		want          ruletest.Want
	}{
		{"watched", "heron", nil, ruletest.Want{Verdict: rules.AsDeclared, Message: "watched or measured"}},
		{"not watched", "heron", ruletest.Edits("vehicle.isolation_monitor", ""), ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "84 V"}},
		{"below 60 V", "mole", nil, ruletest.Want{Verdict: rules.Passed, Message: "class A"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			results := ruletest.On(t, rule, tc.vehicle, tc.edits...)
			ruletest.Expect(t, results, "pack", tc.want)
			if _, ok := results["aux"]; ok {
				t.Error("an auxiliary battery is none of this")
			}
		})
	}
}
