package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryReserveShort(t *testing.T) {
	rule := batteryReserveShort()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	// Critical are 2 x (68 + 6 + 25) W, 198 W at 13.5 V: 14.667 A, at 12.6 V
	// (12.6/13.5)^0.55 = 0.9628 of that: 14.121 A. 10 Ah last 42.5 minutes.
	play(t, rule, []scene{
		{"42 minutes", auxiliary(nil), "aux", outcome{verdict: rules.Passed, demand: 15, capability: 42.49}},
		{"13 minutes", auxiliary(edits{"batteries.aux.capacity_Ah": "3"}), "aux", outcome{verdict: rules.Failed, level: rules.Note, demand: 15, capability: 12.75}},
		{"capacity not given", auxiliary(edits{"batteries.aux.capacity_Ah": ""}), "aux", outcome{verdict: rules.NotChecked, missing: "batteries.aux.capacity_Ah"}},
	})
	t.Run("off the road nothing is reported", func(t *testing.T) {
		for id, r := range bench(t, rule, auxiliary(edits{"vehicle.use": `"track"`})) {
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
