package converter

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
	results := map[string]rules.Result{}
	for _, r := range ruletest.Run(t, ruletest.Load(t, file), []*rules.Rule{rule}) {
		if _, twice := results[r.Subject]; twice {
			t.Errorf("%s has two results for %s", rule.ID, r.Subject)
		}
		results[r.Subject] = r
	}
	return results
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
		if _, ok := tree[keys[0]]; !ok {
			t.Fatalf("nothing to delete at %s", keys[0])
		}
		delete(tree, keys[0])
		return
	}
	var v any
	if err := json.Unmarshal([]byte(value), &v); err != nil {
		t.Fatal(err)
	}
	tree[keys[0]] = v
}

// outcome is what a test wants of one subject's result. Zero values of the
// numbers are not compared.
type outcome struct {
	verdict    rules.Verdict
	level      rules.Level
	mode       string
	demand     float64
	capability float64
	relative   float64 // tolerance of the numbers; 0 means 1e-3
	missing    string
	primary    string
}

func expect(t *testing.T, results map[string]rules.Result, subject string, want outcome) {
	t.Helper()
	r := ruletest.Verdict(t, results, subject, want.verdict)
	relative := want.relative
	if relative == 0 {
		relative = 1e-3
	}
	near := func(what string, got, want float64) {
		if want != 0 && !(math.Abs(got-want) <= relative*math.Abs(want)) {
			t.Errorf("%s: %s %v, want %v within %v", subject, what, got, want, relative)
		}
	}
	same := func(what, got, want string) {
		if want != "" && got != want {
			t.Errorf("%s: %s %q, want %q (%s)", subject, what, got, want, r.Message)
		}
	}
	near("demand", r.Demand.Value, want.demand)
	near("capability", r.Capability.Value, want.capability)
	same("level", string(r.Level), string(want.level))
	same("mode", r.Mode, want.mode)
	same("missing", r.Missing, want.missing)
	same("primary", r.Primary, want.primary)
	for _, s := range r.Working {
		if math.IsNaN(s.Value) {
			t.Errorf("%s: the working has a NaN at %s", subject, s.What)
		}
	}
}

// scene is one row of a table over the bench vehicle.
type scene struct {
	name    string
	edits   edits
	subject string
	want    outcome
}

func play(t *testing.T, rule *rules.Rule, scenes []scene) {
	t.Helper()
	for _, s := range scenes {
		t.Run(s.name, func(t *testing.T) {
			if s.subject == "" {
				s.subject = "dcdc"
			}
			expect(t, bench(t, rule, s.edits), s.subject, s.want)
		})
	}
}

// auxiliary is a battery on the bench's house network.
func auxiliary(more edits) edits {
	out := edits{
		"batteries.aux": `{"role": "auxiliary", "min_V": 10.5, "nominal_V": 12.6, "max_V": 14.4, "resistance_mOhm": 20,
			"capacity_Ah": 10, "continuous_A": 15, "peak_A": 60, "peak_s": 5, "float_A": 0.5}`,
		"wires.w50": `{"from": "aux.pos", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`,
		"wires.w51": `{"from": "aux.neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.1}`,
	}
	for k, v := range more {
		out[k] = v
	}
	return out
}
