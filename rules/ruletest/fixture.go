package ruletest

import (
	"math"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Fixture is a small sound vehicle that a test varies, in a file or as YAML in
// the test itself.
type Fixture struct {
	File    string
	Text    string
	Subject string // of the scenes that name none
}

// Spec reads the fixture with edits carried out.
func (f Fixture) Spec(t testing.TB, edits ...rules.Edit) *schema.Spec {
	t.Helper()
	path := f.File
	if f.Text != "" {
		path = Write(t, t.TempDir(), "fixture.yaml", f.Text)
	}
	return Changed(t, path, edits...)
}

// On applies a rule to the fixture with edits and returns its results by subject.
func (f Fixture) On(t testing.TB, rule *rules.Rule, edits ...rules.Edit) map[string]rules.Result {
	t.Helper()
	return Results(t, rule, f.Spec(t, edits...))
}

// Replace returns a fixture of which pieces of the text are replaced, one after
// the other wherever they stand: old, new, old, new.
func (f Fixture) Replace(t testing.TB, pairs ...string) Fixture {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(f.Text, pairs[i]) {
			t.Fatalf("the fixture has no %q", pairs[i])
		}
		f.Text = strings.ReplaceAll(f.Text, pairs[i], pairs[i+1])
	}
	return f
}

// Scene is one variation of a fixture, by edits or by pieces of its text, and
// what a rule says of one subject of it.
type Scene struct {
	Name    string
	Edits   []rules.Edit
	Replace []string // see Fixture.Replace
	Subject string   // the fixture's, if empty
	Want    Want
}

// Want is what a result has to be. Of numbers, level, mode and what is missing
// those that are left out are not looked at. A Want without a verdict means that
// the rule has nothing to say of the subject.
type Want struct {
	Verdict    rules.Verdict
	Level      rules.Level
	Mode       string
	Demand     float64
	Capability float64
	Headroom   float64
	Relative   float64 // tolerance of the numbers; 0 means 1e-3, the rounding of what is worked out by hand
	Missing    string  // what a result that is not checked needs
	Primary    string  // the finding that this one follows from; none if empty
	Message    string  // part of it
	Fix        string  // part of it
}

// Play applies a rule to the fixture in each of the scenes. Beside what a scene
// wants, each subject has one result, and a result has a working of which every
// step is a number with an origin.
func (f Fixture) Play(t *testing.T, rule *rules.Rule, scenes []Scene) {
	t.Helper()
	for _, s := range scenes {
		t.Run(s.Name, func(t *testing.T) {
			subject := s.Subject
			if subject == "" {
				subject = f.Subject
			}
			Expect(t, f.Replace(t, s.Replace...).On(t, rule, s.Edits...), subject, s.Want)
		})
	}
}

// Expect checks what a rule says of one subject.
func Expect(t testing.TB, results map[string]rules.Result, subject string, want Want) {
	t.Helper()
	r, ok := results[subject]
	switch {
	case ok && want.Verdict == "":
		t.Errorf("%s is a subject: %s", subject, r.Message)
	case !ok && want.Verdict != "":
		t.Fatalf("no result for %s", subject)
	case ok:
		want.check(t, r)
	}
}

func (w Want) check(t testing.TB, r rules.Result) {
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
	near("headroom", r.Headroom, w.Headroom)
	if r.Missing != w.Missing {
		t.Errorf("missing %q, want %q (%s)", r.Missing, w.Missing, r.Message)
	}
	if r.Primary != w.Primary {
		t.Errorf("primary %q, want %q (%s)", r.Primary, w.Primary, r.Message)
	}
	holds("message", r.Message, w.Message)
	holds("fix", r.Fix, w.Fix)
	checkWorking(t, r)
}

// checkWorking checks that a result that compares numbers shows where they come
// from: its working has steps, and each is a number, or words, with an origin.
func checkWorking(t testing.TB, r rules.Result) {
	t.Helper()
	if r.Verdict != rules.NotChecked && r.Required > 0 && len(r.Working) == 0 {
		t.Errorf("%s has no working: put each number in as it is used (%s)", r.Key(), r.Message)
	}
	for _, s := range r.Working {
		if math.IsNaN(s.Value) {
			t.Errorf("%s: step %s (%s) is not a number", r.Key(), s.Symbol, s.What)
		}
		if o := s.Origin; o.Kind == "" || o.Kind != rules.FromFormula && o.Ref == "" && o.Path == "" {
			t.Errorf("%s: step %s (%s) has no origin", r.Key(), s.Symbol, s.What)
		}
	}
}
