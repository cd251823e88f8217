package catalogue_test

import (
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// The same vehicle as CUE, YAML and JSON gives the same results, number for
// number; only the places differ.
func TestFormatsGiveTheSameResults(t *testing.T) {
	folder := filepath.Join(ruletest.Fleet(), "..", "formats")
	results := func(file string) []rules.Result {
		got := ruletest.Run(t, ruletest.Load(t, filepath.Join(folder, file)), catalogue.All())
		for i, r := range got {
			if !r.At.IsValid() || r.At.Column == 0 {
				t.Errorf("%s: %s of %s has no place", file, r.Rule, r.Subject)
			}
			got[i].At = schema.Position{} // and sorted by rule and subject then
		}
		rules.Sort(got)
		return got
	}
	places := cmp.Options{
		cmpopts.IgnoreTypes(schema.Position{}),
		cmpopts.EquateEmpty(),
	}
	want := results("tern.yaml")
	if len(want) < 50 {
		t.Fatalf("only %d results", len(want))
	}
	for _, file := range []string{"tern.cue", "tern.json"} {
		if diff := cmp.Diff(want, results(file), places); diff != "" {
			t.Errorf("%s differs from tern.yaml (-yaml +other):\n%s", file, diff)
		}
	}
}
