package fuse

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// edits sets values of a specification by path, as JSON; "" deletes.
type edits map[string]string

// bench applies a rule to the bench vehicle with edits and returns its results
// by subject.
func bench(t *testing.T, rule *rules.Rule, changes edits) map[string]rules.Result {
	t.Helper()
	results := map[string]rules.Result{}
	for _, r := range ruletest.Run(t, benchSpec(t, changes), []*rules.Rule{rule}) {
		if _, twice := results[r.Subject]; twice {
			t.Errorf("%s has two results for %s", rule.ID, r.Subject)
		}
		results[r.Subject] = r
	}
	return results
}

func benchSpec(t *testing.T, changes edits) *schema.Spec {
	t.Helper()
	source, err := ruletest.Load(t, filepath.Join("testdata", "bench.yaml")).JSON()
	if err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(source, &tree); err != nil {
		t.Fatal(err)
	}
	for path, value := range schema.Sorted(changes) {
		change(t, tree, strings.Split(path, "."), value)
	}
	out, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "bench.json")
	if err := os.WriteFile(file, out, 0o644); err != nil {
		t.Fatal(err)
	}
	return ruletest.Load(t, file)
}

func change(t *testing.T, tree map[string]any, keys []string, value string) {
	t.Helper()
	for len(keys) > 1 {
		next, ok := tree[keys[0]].(map[string]any)
		if !ok {
			next = map[string]any{}
			tree[keys[0]] = next
		}
		tree, keys = next, keys[1:]
	}
	if value == "" {
		delete(tree, keys[0])
		return
	}
	var v any
	if err := json.Unmarshal([]byte(value), &v); err != nil {
		t.Fatalf("%s: %v", keys[0], err)
	}
	tree[keys[0]] = v
}

// expectation is what a rule says of one subject of the bench vehicle. Numbers
// of zero are not compared.
type expectation struct {
	name       string
	change     edits
	subject    string
	verdict    rules.Verdict // "" for a subject that the rule leaves out
	mode       string
	demand     float64
	capability float64
	headroom   float64
	missing    string
	primary    string
	says       string // part of the message
	level      rules.Level
}

// check runs a table of expectations; numbers must agree within 0.1 %, the
// rounding of the hand calculations beside them.
func check(t *testing.T, rule *rules.Rule, table []expectation) {
	t.Helper()
	for _, want := range table {
		t.Run(want.name, func(t *testing.T) {
			got, ok := bench(t, rule, want.change)[want.subject]
			if want.verdict == "" {
				if ok {
					t.Fatalf("%s has a result: %s", want.subject, got.Message)
				}
				return
			}
			if !ok {
				t.Fatalf("no result for %s", want.subject)
			}
			want.compare(t, got)
		})
	}
}

func (want expectation) compare(t *testing.T, got rules.Result) {
	t.Helper()
	if got.Verdict != want.verdict {
		t.Fatalf("verdict %s, want %s: %s", got.Verdict, want.verdict, got.Message)
	}
	for what, pair := range map[string][2]float64{
		"demand": {got.Demand.Value, want.demand}, "capability": {got.Capability.Value, want.capability}, "headroom": {got.Headroom, want.headroom},
	} {
		if pair[1] != 0 && !(math.Abs(pair[0]-pair[1]) <= 1e-3*pair[1]) {
			t.Errorf("%s = %v, want %v: %s", what, pair[0], pair[1], got.Message)
		}
	}
	for what, pair := range map[string][2]string{
		"mode": {got.Mode, want.mode}, "missing": {got.Missing, want.missing}, "primary": {got.Primary, want.primary}, "level": {string(got.Level), string(want.level)},
	} {
		if pair[1] != "" && pair[0] != pair[1] {
			t.Errorf("%s %q, want %q: %s", what, pair[0], pair[1], got.Message)
		}
	}
	if !strings.Contains(got.Message, want.says) {
		t.Errorf("message %q does not say %q", got.Message, want.says)
	}
	if got.Verdict != rules.NotChecked && len(got.Working) == 0 && got.Required > 0 {
		t.Errorf("no working: %s", got.Message)
	}
}

// Every rule's example fires, the sound vehicles and the bench are free of
// findings, and spare or broken parts are handled alike by all rules.
func TestFamily(t *testing.T) {
	for _, rule := range Rules() {
		t.Run(rule.ID, func(t *testing.T) {
			ruletest.Example(t, rule)
			for _, vehicle := range []string{"heron", "mole", "badger"} {
				for subject, r := range ruletest.On(t, rule, vehicle) {
					if r.IsFinding() && r.Level != rules.Note {
						t.Errorf("false alarm on %s of %s: %s", subject, vehicle, r.Message)
					}
				}
			}
			for subject, r := range bench(t, rule, nil) {
				if r.IsFinding() {
					t.Errorf("finding on %s of the bench: %s", subject, r.Message)
				}
			}
			spare := bench(t, rule, edits{"fuses.spare": `{"class": "blade", "rated_A": 5, "spare": true}`})
			if r, ok := spare["spare"]; ok {
				t.Errorf("a spare fuse has a result: %s", r.Message)
			}
		})
	}
}

// The working of a result ends in the numbers that the result compares, and
// each step names where its number comes from.
func TestWorking(t *testing.T) {
	spec := benchSpec(t, nil)
	for _, r := range ruletest.Run(t, spec, Rules()) {
		if r.Verdict == rules.NotChecked {
			continue
		}
		for _, s := range r.Working {
			if math.IsNaN(s.Value) {
				t.Errorf("%s: step %s is not a number", r.Key(), s.Symbol)
			}
			if o := s.Origin; o.Kind == "" || o.Kind != rules.FromFormula && o.Ref == "" && o.Path == "" {
				t.Errorf("%s: step %s has no origin", r.Key(), s.Symbol)
			}
		}
	}
}
