package catalogue_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/repository"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// Cases are single edits of sound vehicles, each of which an expert thought of
// without regard to the rules. The comment of a file says what a person did and the
// physics of it; "want" says "harmless" (no error, no warning), "doubtful" (no error,
// but what is listed) or "unsafe" (an error), and then, a line each, findings that must
// be among what is found, as rule and subject with a level before it where one matters:
//
//	unsafe
//	error precharge-missing k1
//	warning lug-hole-mismatch w1
//	not-checked meter-isolation-low ammeter
//
// The vehicle is whole, in "vehicle.json" or "vehicle.yaml", or "base" names one
// under testdata and "edits" has a line for each edit: a path, and a JSON value
// unless it deletes.
func TestCases(t *testing.T) {
	files, err := filepath.Glob(repository.Testdata("cases", "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			t.Parallel()
			archive, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			parts := map[string]string{}
			for _, f := range archive.Files {
				parts[f.Name] = string(f.Data)
			}
			expectCase(t, ruletest.Run(t, caseVehicle(t, parts), catalogue.All()), parts["want"])
		})
	}
}

// caseVehicle reads the vehicle of a case.
func caseVehicle(t *testing.T, parts map[string]string) *schema.Spec {
	t.Helper()
	for _, name := range []string{"vehicle.json", "vehicle.yaml"} {
		if text, ok := parts[name]; ok {
			return ruletest.Load(t, ruletest.Write(t, t.TempDir(), name, text))
		}
	}
	var edits []rules.Edit
	for line := range strings.Lines(parts["edits"]) {
		if line = strings.TrimSpace(line); line != "" {
			path, value, _ := strings.Cut(line, " ")
			edits = append(edits, rules.Edit{Path: path, Value: strings.TrimSpace(value)})
		}
	}
	if len(edits) == 0 {
		t.Fatal("neither a vehicle nor edits of one")
	}
	return ruletest.Changed(t, repository.Testdata(strings.Split(strings.TrimSpace(parts["base"]), "/")...), edits...)
}

// expectCase holds results against what a case wants.
func expectCase(t *testing.T, results []rules.Result, want string) {
	t.Helper()
	kind, list, _ := strings.Cut(strings.TrimSpace(want), "\n")
	found := map[string]bool{}
	errors := 0
	for _, r := range results {
		switch {
		case r.IsFinding():
			found[r.Rule+" "+r.Subject] = true
			found[string(r.Level)+" "+r.Rule+" "+r.Subject] = true
			if r.Level == rules.Error {
				errors++
			}
			if kind == "harmless" && r.Level != rules.Note {
				t.Errorf("%s: %s: %s [%s]", r.At, r.Level, r.Message, r.Rule)
			}
		default:
			found[string(r.Verdict)+" "+r.Rule+" "+r.Subject] = true
			if r.Verdict == rules.CannotVouch { // not made either, and worse
				found[string(rules.NotChecked)+" "+r.Rule+" "+r.Subject] = true
			}
		}
	}
	switch kind {
	case "harmless":
	case "doubtful":
		if errors > 0 {
			t.Errorf("%d errors are found", errors)
		}
	case "unsafe":
		if errors == 0 {
			t.Error("no error is found")
		}
	default:
		t.Fatalf("want begins with %q, not with unsafe, doubtful or harmless", kind)
	}
	for line := range strings.Lines(list) {
		if line = strings.TrimSpace(line); line != "" && !found[line] {
			t.Errorf("not found: %s", line)
		}
	}
}
