package measurement

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

const metersBench = "testdata/meters.yaml"

// setTo and without are edits; withEdits lists them.
func setTo(path, value string) rules.Edit        { return rules.Edit{Path: path, Value: value} }
func without(path string) rules.Edit             { return rules.Edit{Path: path} }
func withEdits(edits ...rules.Edit) []rules.Edit { return edits }

// soundPass checks that a rule fires on its example and passes on every sound
// vehicle.
func soundPass(t *testing.T, rule *rules.Rule) {
	t.Helper()
	ruletest.Example(t, rule)
	root := filepath.Join(ruletest.Fleet(), "..")
	targets, err := schema.Find([]string{ruletest.Fleet() + "/...", filepath.Join(root, "sound"), filepath.Join(root, "first", "first.yaml")}, schema.Options{})
	if err != nil || len(targets) < 10 {
		t.Fatalf("%d vehicles: %v", len(targets), err)
	}
	for _, target := range targets {
		for _, r := range ruletest.Run(t, ruletest.Load(t, target.Path), []*rules.Rule{rule}) {
			if r.Verdict != rules.Passed {
				t.Errorf("%s: %s on %s: %s", filepath.Base(target.Path), r.Verdict, r.Subject, r.Message)
			}
		}
	}
}
