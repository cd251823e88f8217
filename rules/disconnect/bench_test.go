package disconnect

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

const bench = "testdata/bench.yaml"

// set and drop are edits.
func set(path, value string) rules.Edit { return rules.Edit{Path: path, Value: value} }
func drop(path string) rules.Edit       { return rules.Edit{Path: path} }

// soundAreSilent checks that a rule fires on its example and accuses no sound
// vehicle.
func soundAreSilent(t *testing.T, rule *rules.Rule) {
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

// climbing replaces the modes: 150 A for 60 s in every 300 s, and nothing between.
func climbing(more ...rules.Edit) []rules.Edit {
	return append([]rules.Edit{set("modes.climb", `{"closed": ["iso", "key"], "draw": {"drive": {"current_A": 150}}, "lasts_s": 60, "every_s": 300}`)}, more...)
}
