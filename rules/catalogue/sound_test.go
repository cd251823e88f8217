package catalogue_test

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// Sound vehicles of many shapes, each of which a careless rule accuses, have no
// finding at warning or above.
func TestNoFalseAlarms(t *testing.T) {
	folder := filepath.Join(ruletest.Fleet(), "..", "sound")
	targets, err := schema.Find([]string{folder}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(targets) < 6 {
		t.Fatalf("only %d sound vehicles", len(targets))
	}
	for _, target := range targets {
		t.Run(filepath.Base(target.Path), func(t *testing.T) {
			t.Parallel()
			for _, r := range soundResults(t, target.Path) {
				if r.IsFinding() && r.Level != rules.Note {
					t.Errorf("%s: %s: %s [%s]", r.At, r.Level, r.Message, r.Rule)
				}
			}
		})
	}
}
