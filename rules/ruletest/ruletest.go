// Package ruletest is the harness of all tests of rules.
//
// A test of a rule is a table of scenes over a fixture: a small sound vehicle in
// testdata/fixture.yaml of the family, or a text in the test, small enough to be
// worked out by hand. Each scene varies the fixture and says what the rule has to
// say of one subject; see Fixture.Play. The demo vehicles serve the same way; see
// On. Family holds the rules of a family to what is asked of every rule: that its
// example makes it fire, and that it accuses no sound vehicle.
package ruletest

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/repository"
	"example.org/headroom/schema"
)

// Fleet is the folder of the demo fleet.
func Fleet() string { return repository.Testdata("fleet") }

// First is the specification that the README begins with.
func First() string { return repository.Testdata("first", "first.yaml") }

// Sound lists the vehicles that no rule may accuse: the demo fleet, sound
// vehicles of many shapes, and the first one.
func Sound(t testing.TB) []string {
	t.Helper()
	targets, err := schema.Find([]string{filepath.Join(Fleet(), "..."), repository.Testdata("sound"), First()}, schema.Options{})
	if err != nil || len(targets) < 10 {
		t.Fatalf("%d sound vehicles: %v", len(targets), err)
	}
	paths := make([]string, len(targets))
	for i, target := range targets {
		paths[i] = target.Path
	}
	return paths
}

// Load reads one vehicle that must hold no mistake. A file of the repository is
// read once for all tests of a package: specifications do not change.
func Load(t testing.TB, path string) *schema.Spec {
	t.Helper()
	whole, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	if spec, ok := loaded.Load(whole); ok {
		return spec.(*schema.Spec)
	}
	l := Read(t, path)
	if l.Err != nil || len(l.Problems) > 0 {
		t.Fatalf("%s: error %v, problems %+v", path, l.Err, l.Problems)
	}
	if !within(whole, os.TempDir()) { // what a test wrote is read but once
		loaded.Store(whole, l.Spec)
	}
	return l.Spec
}

// loaded holds the specifications of Load by path.
var loaded sync.Map

// within reports whether a path leads into a folder.
func within(path, folder string) bool {
	relative, err := filepath.Rel(folder, path)
	return err == nil && filepath.IsLocal(relative)
}

// Read reads one vehicle that may hold mistakes.
func Read(t testing.TB, path string) *schema.Loaded {
	t.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		t.Fatalf("%s: targets %v, error %v", path, targets, err)
	}
	return schema.Read(t.Context(), targets[0], schema.Options{})
}

// Write writes a file for a test and returns its path.
func Write(t testing.TB, dir, name, content string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// Run applies rules to a spec; a fault of a rule ends the test.
func Run(t testing.TB, spec *schema.Spec, catalogue []*rules.Rule) []rules.Result {
	t.Helper()
	results, err := rules.Run(context.Background(), spec, catalogue)
	if err != nil {
		t.Fatal(err)
	}
	return results
}

// Results applies one rule to a spec and returns its results by subject, of which
// each has one.
func Results(t testing.TB, rule *rules.Rule, spec *schema.Spec) map[string]rules.Result {
	t.Helper()
	out := map[string]rules.Result{}
	for _, r := range Run(t, spec, []*rules.Rule{rule}) {
		if _, twice := out[r.Subject]; twice {
			t.Errorf("%s has two results for %s", rule.ID, r.Subject)
		}
		out[r.Subject] = r
	}
	return out
}

// On applies one rule to a vehicle of the fleet with edits and returns its
// results by subject.
func On(t testing.TB, rule *rules.Rule, vehicle string, edits ...rules.Edit) map[string]rules.Result {
	t.Helper()
	return Results(t, rule, Edited(t, vehicle, edits))
}

// Silent checks that a rule has no finding on a vehicle of the fleet with
// edits that a sound vehicle may have.
func Silent(t testing.TB, rule *rules.Rule, vehicle string, edits ...rules.Edit) {
	t.Helper()
	for _, r := range On(t, rule, vehicle, edits...) {
		if r.IsFinding() {
			t.Errorf("false alarm on %s: %s", r.Subject, r.Message)
		}
	}
}

// Verdict checks the verdict of one subject and returns its result.
func Verdict(t testing.TB, results map[string]rules.Result, subject string, want rules.Verdict) rules.Result {
	t.Helper()
	r, ok := results[subject]
	if !ok {
		t.Fatalf("no result for %s", subject)
	}
	if r.Verdict != want {
		t.Errorf("%s: %s, want %s: %s", subject, r.Verdict, want, r.Message)
	}
	return r
}

// Finding returns the finding on a subject.
func Finding(results []rules.Result, subject string) (rules.Result, bool) {
	i := slices.IndexFunc(results, func(r rules.Result) bool { return r.IsFinding() && r.Subject == subject })
	if i < 0 {
		return rules.Result{}, false
	}
	return results[i], true
}
