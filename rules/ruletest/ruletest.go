// Package ruletest loads the vehicles of the demo fleet, sound or with edits,
// for tests of rules.
package ruletest

import (
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Fleet is the folder of the demo fleet.
func Fleet() string {
	_, file, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(file), "..", "..", "testdata", "fleet")
}

// Load reads one vehicle that must hold no mistake.
func Load(t *testing.T, path string) *schema.Spec {
	t.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		t.Fatalf("%s: targets %v, error %v", path, targets, err)
	}
	l := schema.Read(t.Context(), targets[0], schema.Options{})
	if l.Err != nil || len(l.Problems) > 0 {
		t.Fatalf("%s: error %v, problems %+v", path, l.Err, l.Problems)
	}
	return l.Spec
}

// Edited returns a vehicle of the fleet with edits carried out.
func Edited(t *testing.T, vehicle string, edits []rules.Edit) *schema.Spec {
	t.Helper()
	return Changed(t, filepath.Join(Fleet(), vehicle), edits...)
}

// Apply carries out edits on a tree of JSON values.
func Apply(t *testing.T, tree map[string]any, edits ...rules.Edit) {
	t.Helper()
	for _, e := range edits {
		apply(t, tree, e)
	}
}

// apply carries out one edit. A path that sets something below a value that
// does not exist makes it.
func apply(t *testing.T, tree map[string]any, e rules.Edit) {
	t.Helper()
	keys := strings.Split(e.Path, ".")
	at := tree
	for _, k := range keys[:len(keys)-1] {
		next, ok := at[k].(map[string]any)
		if !ok {
			if at[k] != nil || e.Value == "" {
				t.Fatalf("edit %s: %s is not an object", e.Path, k)
			}
			next = map[string]any{}
			at[k] = next
		}
		at = next
	}
	last := keys[len(keys)-1]
	if e.Value == "" {
		if _, ok := at[last]; !ok {
			t.Fatalf("edit %s deletes what is not there", e.Path)
		}
		delete(at, last)
		return
	}
	var v any
	if err := json.Unmarshal([]byte(e.Value), &v); err != nil {
		t.Fatalf("edit %s: %v", e.Path, err)
	}
	at[last] = v
}

// Finding returns the finding on a subject.
func Finding(results []rules.Result, subject string) (rules.Result, bool) {
	i := slices.IndexFunc(results, func(r rules.Result) bool { return r.IsFinding() && r.Subject == subject })
	if i < 0 {
		return rules.Result{}, false
	}
	return results[i], true
}

// Example checks that a rule's example makes it fire on the subject that it
// names, and that the rule is silent before.
func Example(t *testing.T, rule *rules.Rule) {
	t.Helper()
	if rule.Example.Vehicle == "" || len(rule.Example.Edits) == 0 {
		t.Fatal("the rule has no example")
	}
	only := []*rules.Rule{rule}
	before := Run(t, Load(t, filepath.Join(Fleet(), rule.Example.Vehicle)), only)
	if r, ok := Finding(before, rule.Example.Subject); ok {
		t.Errorf("the rule fires before the edit: %s", r.Message)
	}
	after := Run(t, Edited(t, rule.Example.Vehicle, rule.Example.Edits), only)
	if _, ok := Finding(after, rule.Example.Subject); ok {
		return
	}
	t.Errorf("the edit does not make the rule fire on %s", rule.Example.Subject)
	for _, r := range after {
		if r.Subject == rule.Example.Subject || r.IsFinding() {
			t.Logf("%s %s: %s", r.Subject, r.Verdict, r.Message)
		}
	}
}

// On applies one rule to a vehicle of the fleet with edits and returns its
// results by subject.
func On(t *testing.T, rule *rules.Rule, vehicle string, edits ...rules.Edit) map[string]rules.Result {
	t.Helper()
	out := map[string]rules.Result{}
	for _, r := range Run(t, Edited(t, vehicle, edits), []*rules.Rule{rule}) {
		out[r.Subject] = r
	}
	return out
}

// Silent checks that a rule has no finding on a vehicle of the fleet with
// edits that a sound vehicle may have.
func Silent(t *testing.T, rule *rules.Rule, vehicle string, edits ...rules.Edit) {
	t.Helper()
	for _, r := range On(t, rule, vehicle, edits...) {
		if r.IsFinding() {
			t.Errorf("false alarm on %s: %s", r.Subject, r.Message)
		}
	}
}

// Verdict checks the verdict of one subject and returns its result.
func Verdict(t *testing.T, results map[string]rules.Result, subject string, want rules.Verdict) rules.Result {
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

// Write writes a file for a test and returns its path.
func Write(t *testing.T, dir, name, content string) string {
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
	results, err := rules.Run(spec, catalogue)
	if err != nil {
		t.Fatal(err)
	}
	return results
}
