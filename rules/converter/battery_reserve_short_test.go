package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryReserveShort(t *testing.T) {
	rule := batteryReserveShort()
	// Critical are 2 x (68 + 6 + 25) W, 198 W at 13.5 V: 14.667 A, at 12.6 V
	// (12.6/13.5)^0.55 = 0.9628 of that: 14.121 A. 10 Ah last 42.5 minutes.
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "42 minutes", Edits: auxiliary(nil), Subject: "aux", Want: ruletest.Want{Verdict: rules.Passed, Demand: 15, Capability: 42.49}},
		{Name: "13 minutes", Edits: auxiliary(ruletest.Edits("batteries.aux.capacity_Ah", "3")), Subject: "aux", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 15, Capability: 12.75}},
		{Name: "capacity not given", Edits: auxiliary(ruletest.Edits("batteries.aux.capacity_Ah", "")), Subject: "aux", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.aux.capacity_Ah"}},
	})
	t.Run("off the road nothing is reported", func(t *testing.T) {
		for id, r := range fixture.On(t, rule, auxiliary(ruletest.Edits("vehicle.use", `"track"`))...) {
			t.Errorf("%s: %s", id, r.Message)
		}
	})
}

// A battery that is only carried keeps nothing going.
func TestNoReserveOfASpare(t *testing.T) {
	rule := batteryReserveShort()
	ruletest.Verdict(t, ruletest.On(t, rule, "heron"), "aux", rules.Passed)
	if r, ok := ruletest.On(t, rule, "heron", rules.Edit{Path: "batteries.aux.spare", Value: "true"})["aux"]; ok {
		t.Errorf("the spare is a subject: %s", r.Message)
	}
}
