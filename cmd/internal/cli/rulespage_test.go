package cli

import (
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/catalogue"
)

// TestRulesPage keeps the page in the repository the same as the catalogue;
// -update writes it.
func TestRulesPage(t *testing.T) {
	const file = "../../../rules/README.md"
	want := rulesPage(catalogue.All())
	if *update {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("rules/README.md is not what the catalogue says; -update writes it (-want +got):\n%s", diff)
	}
}

// TestRulesAreComplete checks that every rule says what a reader needs.
func TestRulesAreComplete(t *testing.T) {
	list := catalogue.All()
	if len(list) < 55 {
		t.Errorf("%d rules", len(list))
	}
	for _, r := range list {
		for what, text := range map[string]string{"title": r.Title, "why": r.Why, "relation": r.Relation, "source": r.Source, "fix": r.Fix} {
			if text == "" {
				t.Errorf("%s has no %s", r.ID, what)
			}
		}
		if len(r.Example.Edits) == 0 && r.Example.Text == "" {
			t.Errorf("%s has no example", r.ID)
		}
	}
}
