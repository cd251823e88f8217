package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargerNotIsolated(t *testing.T) {
	rule := chargerNotIsolated()
	open := ruletest.Edits("chargers.charger.isolated", "false")
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "isolated", Subject: "charger", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not isolated, however low the battery's voltage", Subject: "charger", Edits: open, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "not on the mains", Subject: "charger", Edits: append(open, ruletest.Edits("chargers.charger.supply", `"dc"`)...)},
	})
	// 84 V.
	r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", open...), "charger", rules.Failed)
	if r.Level != rules.Error {
		t.Errorf("level %s above class A, want error", r.Level)
	}
}
