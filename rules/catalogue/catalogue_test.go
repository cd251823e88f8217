package catalogue_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/schema"
)

const fleet = "../../testdata/fleet"

// load reads one vehicle that must hold no mistake.
func load(t *testing.T, path string) *schema.Spec {
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

// edited returns a vehicle of the fleet with edits carried out, by way of a
// JSON file.
func edited(t *testing.T, vehicle string, edits []rules.Edit) *schema.Spec {
	t.Helper()
	source, err := load(t, filepath.Join(fleet, vehicle)).JSON()
	if err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(source, &tree); err != nil {
		t.Fatal(err)
	}
	for _, e := range edits {
		apply(t, tree, e)
	}
	out, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), vehicle+".json")
	if err := os.WriteFile(file, out, 0o644); err != nil {
		t.Fatal(err)
	}
	return load(t, file)
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

func vehicles(t *testing.T) []string {
	t.Helper()
	targets, err := schema.Find([]string{fleet + "/..."}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, target := range targets {
		names = append(names, filepath.Base(target.Path))
	}
	if len(names) != 3 {
		t.Fatalf("the fleet has the vehicles %v, want three", names)
	}
	return names
}

// The sound vehicles have no finding at warning or above, and nothing about
// them goes unchecked.
func TestFleetIsClean(t *testing.T) {
	for _, vehicle := range vehicles(t) {
		t.Run(vehicle, func(t *testing.T) {
			for _, r := range rules.Run(load(t, filepath.Join(fleet, vehicle)), catalogue.All()) {
				switch {
				case r.IsFinding() && r.Level != rules.Note:
					t.Errorf("%s: %s: %s [%s]", r.At, r.Level, r.Message, r.Rule)
				case r.Verdict == rules.NotChecked:
					t.Logf("not checked: %s %s needs %s", r.Rule, r.Subject, r.Missing)
				}
			}
		})
	}
}

// Each rule's example makes that rule fire on the subject that it names.
func TestExamples(t *testing.T) {
	for _, rule := range catalogue.All() {
		if rule.Check == nil {
			continue
		}
		t.Run(rule.ID, func(t *testing.T) {
			if rule.Example.Vehicle == "" || len(rule.Example.Edits) == 0 {
				t.Fatal("the rule has no example")
			}
			only := []*rules.Rule{rule}
			before := rules.Run(load(t, filepath.Join(fleet, rule.Example.Vehicle)), only)
			if r, ok := findingOn(before, rule.Example.Subject); ok {
				t.Errorf("the rule fires before the edit: %s", r.Message)
			}
			after := rules.Run(edited(t, rule.Example.Vehicle, rule.Example.Edits), only)
			if _, ok := findingOn(after, rule.Example.Subject); !ok {
				t.Errorf("the edit does not make the rule fire on %s", rule.Example.Subject)
				for _, r := range after {
					if r.Subject == rule.Example.Subject || r.IsFinding() {
						t.Logf("%s %s: %s", r.Subject, r.Verdict, r.Message)
					}
				}
			}
		})
	}
}

func findingOn(results []rules.Result, subject string) (rules.Result, bool) {
	i := slices.IndexFunc(results, func(r rules.Result) bool { return r.IsFinding() && r.Subject == subject })
	if i < 0 {
		return rules.Result{}, false
	}
	return results[i], true
}

// Every rule is documented in full, under a name of its own.
func TestDocumentation(t *testing.T) {
	seen := map[string]bool{}
	for _, rule := range catalogue.All() {
		if seen[rule.ID] {
			t.Errorf("%s stands twice in the catalogue", rule.ID)
		}
		seen[rule.ID] = true
		for what, text := range map[string]string{
			"family": rule.Family, "title": rule.Title, "why": rule.Why, "relation": rule.Relation,
			"source": rule.Source, "fix": rule.Fix, "level": string(rule.Level),
		} {
			if strings.TrimSpace(text) == "" {
				t.Errorf("%s has no %s", rule.ID, what)
			}
		}
		if strings.HasSuffix(rule.Title, ".") {
			t.Errorf("%s: the title ends in a full stop", rule.ID)
		}
		if rule.ID != strings.ToLower(rule.ID) || strings.ContainsAny(rule.ID, "_ .") {
			t.Errorf("%s is not in kebab-case", rule.ID)
		}
	}
}

// Every subject of a rule has one result.
func TestOneResultForEachSubject(t *testing.T) {
	for _, vehicle := range vehicles(t) {
		seen := map[string]bool{}
		for _, r := range rules.Run(load(t, filepath.Join(fleet, vehicle)), catalogue.All()) {
			if seen[r.Key()] {
				t.Errorf("%s: %s has more than one result", vehicle, r.Key())
			}
			seen[r.Key()] = true
		}
	}
}
