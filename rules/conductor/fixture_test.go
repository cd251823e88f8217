package conductor

import (
	"os"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{Notes: []string{"torque-missing"}, Fixtures: []string{"limited-source-unprotected"}}, fixture)
}

// With a mistake in the cycle it is not known what goes on continuously.
func TestMistakeInTheCycle(t *testing.T) {
	text, err := os.ReadFile(fixture.File)
	if err != nil {
		t.Fatal(err)
	}
	loaded := ruletest.Read(t, ruletest.Write(t, t.TempDir(), "v.yaml", string(text)+"cycle: [{mode: rol, for_s: 60}]\n"))
	if len(loaded.Problems) != 1 || len(loaded.Spec.Cycle) != 0 {
		t.Fatalf("problems %v, cycle %v", loaded.Problems, loaded.Spec.Cycle)
	}
	for _, rule := range []*rules.Rule{conductorOverloaded(), conductorPeakHot(), conductorDropHigh(), studOverloaded()} {
		results := ruletest.Run(t, loaded.Spec, []*rules.Rule{rule})
		if len(results) == 0 {
			t.Errorf("%s says nothing", rule.ID)
		}
		for _, r := range results {
			if r.Verdict != rules.NotChecked || r.Missing != "cycle" {
				t.Errorf("%s of %s: %s, missing %q: %s", rule.ID, r.Subject, r.Verdict, r.Missing, r.Message)
			}
		}
	}
}
