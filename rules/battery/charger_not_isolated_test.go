package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargerNotIsolated(t *testing.T) {
	rule := chargerNotIsolated()
	ruletest.Example(t, rule) // 84 V
	fleetIsSilent(t, rule)
	open := set("chargers.charger.isolated", "false")
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "isolated", Subject: "charger", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not isolated, class A", Subject: "charger", Edits: []rules.Edit{open}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
	})
	r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", open), "charger", rules.Failed)
	if r.Level != rules.Error {
		t.Errorf("level %s above class A, want error", r.Level)
	}
}
