package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The 120 A of the climb last 30 s: 150 A for 60 s cover them, and 80 A do not.
func TestOverloaded(t *testing.T) {
	fixture.Play(t, overloaded(), []ruletest.Scene{
		{Name: "within its peak", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no peak", Edits: ruletest.Edits("batteries.pack.bms.peak", ""), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 120.2, Capability: 80, Relative: 0.01}},
		{Name: "a shorter peak", Edits: ruletest.Edits("batteries.pack.bms.peak.s", "10"), Want: ruletest.Want{Verdict: rules.Failed, Capability: 80}},
		{Name: "charged with more than it lets in", Edits: ruletest.Edits("batteries.pack.bms.charge_A", "10"), Want: ruletest.Want{Verdict: rules.Failed, Mode: "downhill", Capability: 10}},
		{Name: "not given", Edits: ruletest.Edits("batteries.pack.bms.discharge_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.discharge_A"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
