package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The pack's lead of a demo vehicle on the sense screw beside its terminal: what the
// shunt carries continuously goes through a screw made for an instrument.
func TestSenseScrew(t *testing.T) {
	for _, tt := range []struct {
		name    string
		edits   []rules.Edit
		verdict rules.Verdict
	}{
		{"a sense lead", nil, rules.Passed},
		{"the pack's lead", ruletest.Edits("busbars.b_minus_shunt.to", `"shunt.sense_b"`), rules.Failed},
	} {
		t.Run(tt.name, func(t *testing.T) {
			results := ruletest.On(t, shuntOverloaded(), "heron", tt.edits...)
			found := false
			for _, r := range results {
				if r.Subject == "shunt.sense_b" {
					found = true
					if r.Verdict != tt.verdict || r.Verdict == rules.Failed && (r.Level != rules.Error || r.Demand.Value < 60) {
						t.Errorf("%s, %s: %s", r.Verdict, r.Level, r.Message)
					}
				}
			}
			if !found {
				t.Error("says nothing of shunt.sense_b")
			}
		})
	}
}
