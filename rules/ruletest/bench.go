package ruletest

import (
	"encoding/json"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Changed reads a specification with edits carried out.
func Changed(t *testing.T, path string, edits ...rules.Edit) *schema.Spec {
	t.Helper()
	return Rebuilt(t, path, func(tree map[string]any) { Apply(t, tree, edits...) })
}

// Rebuilt reads a specification of which something has been made otherwise, by
// way of a JSON file.
func Rebuilt(t *testing.T, path string, change func(tree map[string]any)) *schema.Spec {
	t.Helper()
	source, err := Load(t, path).JSON()
	if err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(source, &tree); err != nil {
		t.Fatal(err)
	}
	change(tree)
	out, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return Load(t, Write(t, t.TempDir(), strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))+".json", string(out)))
}

// Scene is one variation of a bench circuit and what a rule says of one subject.
type Scene struct {
	Name    string
	Edits   []rules.Edit
	Subject string
	Want    Want
}

// Want is what a result has to be. What is left out is not looked at; a Want
// without a verdict means that the rule has nothing to say of the subject.
type Want struct {
	Verdict    rules.Verdict
	Level      rules.Level
	Mode       string
	Demand     float64
	Capability float64
	Relative   float64 // tolerance of the two; 0 means 1e-3
	Missing    string
	Primary    string
	Message    string // part of it
	Fix        string // part of it
}

// Play applies a rule to a bench circuit in each of its variations.
func Play(t *testing.T, rule *rules.Rule, path string, scenes []Scene) {
	t.Helper()
	for _, s := range scenes {
		t.Run(s.Name, func(t *testing.T) {
			results := map[string]rules.Result{}
			for _, r := range Run(t, Changed(t, path, s.Edits...), []*rules.Rule{rule}) {
				if _, twice := results[r.Subject]; twice {
					t.Errorf("%s has two results for %s", rule.ID, r.Subject)
				}
				results[r.Subject] = r
			}
			r, ok := results[s.Subject]
			switch {
			case ok && s.Want.Verdict == "":
				t.Errorf("%s is a subject: %s", s.Subject, r.Message)
			case !ok && s.Want.Verdict != "":
				t.Fatalf("no result for %s", s.Subject)
			case ok:
				s.Want.check(t, r)
			}
		})
	}
}

func (w Want) check(t *testing.T, r rules.Result) {
	t.Helper()
	relative := w.Relative
	if relative == 0 {
		relative = 1e-3
	}
	near := func(what string, got, want float64) {
		if want != 0 && !(math.Abs(got-want) <= relative*math.Abs(want)) {
			t.Errorf("%s %v, want %v within %v (%s)", what, got, want, relative, r.Message)
		}
	}
	same := func(what, got, want string) {
		if want != "" && got != want {
			t.Errorf("%s %q, want %q (%s)", what, got, want, r.Message)
		}
	}
	holds := func(what, got, want string) {
		if !strings.Contains(got, want) {
			t.Errorf("%s %q, want %q in it", what, got, want)
		}
	}
	same("verdict", string(r.Verdict), string(w.Verdict))
	same("level", string(r.Level), string(w.Level))
	same("mode", r.Mode, w.Mode)
	near("demand", r.Demand.Value, w.Demand)
	near("capability", r.Capability.Value, w.Capability)
	same("missing", r.Missing, w.Missing)
	if r.Primary != w.Primary {
		t.Errorf("primary %q, want %q (%s)", r.Primary, w.Primary, r.Message)
	}
	holds("message", r.Message, w.Message)
	holds("fix", r.Fix, w.Fix)
	for _, s := range r.Working {
		if s.Origin.Kind == "" || math.IsNaN(s.Value) {
			t.Errorf("step %s (%s) has no origin or is not a number", s.Symbol, s.What)
		}
	}
}
