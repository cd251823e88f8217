package conductor

import (
	"os"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// bench is the vehicle of the tests of this family.
var bench = filepath.Join("testdata", "bench.yaml")

func edit(path, value string) rules.Edit { return rules.Edit{Path: path, Value: value} }

// edits is a list of edits as pairs of path and value.
func edits(pairs ...string) (list []rules.Edit) {
	for i := 0; i < len(pairs); i += 2 {
		list = append(list, edit(pairs[i], pairs[i+1]))
	}
	return list
}

func play(t *testing.T, rule *rules.Rule, scenes ...ruletest.Scene) {
	t.Helper()
	ruletest.Example(t, rule)
	ruletest.Play(t, rule, bench, scenes)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
}

// With a mistake in the cycle it is not known what goes on continuously.
func TestMistakeInTheCycle(t *testing.T) {
	text, err := os.ReadFile(bench)
	if err != nil {
		t.Fatal(err)
	}
	path := ruletest.Write(t, t.TempDir(), "v.yaml", string(text)+"cycle: [{mode: rol, for_s: 60}]\n")
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	loaded := schema.Read(t.Context(), targets[0], schema.Options{})
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
