package ruletest

import (
	"path/filepath"
	"slices"
	"testing"

	"example.org/headroom/rules"
)

// Example checks that a rule's example makes it fire on the subject that it
// names, and that the rule is silent before.
func Example(t testing.TB, rule *rules.Rule) {
	t.Helper()
	if rule.Example.Vehicle == "" || len(rule.Example.Edits) == 0 {
		t.Fatalf("%s has no example: name a vehicle of testdata/fleet, the edits that make the rule fire, and the subject it then names", rule.ID)
	}
	if r, ok := On(t, rule, rule.Example.Vehicle)[rule.Example.Subject]; ok && r.IsFinding() {
		t.Errorf("the rule fires before the edit: %s", r.Message)
	}
	after := On(t, rule, rule.Example.Vehicle, rule.Example.Edits...)
	if r, ok := after[rule.Example.Subject]; ok && r.IsFinding() {
		return
	}
	t.Errorf("the edit does not make the rule fire on %s", rule.Example.Subject)
	for _, r := range after {
		if r.Subject == rule.Example.Subject || r.IsFinding() {
			t.Logf("%s %s: %s", r.Subject, r.Verdict, r.Message)
		}
	}
}

// Except lists rules of a family that have something to say of sound vehicles.
type Except struct {
	Notes    []string // have notes on some
	Gaps     []string // lack data of some
	Fixtures []string // do not pass on a fixture, which was made for other rules
}

// Family checks of each rule of a family that its example makes it fire, and that
// on every sound vehicle and on the fixtures it passes, with workings that hold. An
// exception that is not needed is a mistake as well.
func Family(t *testing.T, family []*rules.Rule, except Except, fixtures ...Fixture) {
	t.Helper()
	sound, small := map[string][]rules.Result{}, map[string][]rules.Result{}
	for _, path := range Sound(t) {
		for _, r := range Run(t, Load(t, path), family) {
			r.Subject += " of " + filepath.Base(path)
			sound[r.Rule] = append(sound[r.Rule], r)
		}
	}
	for _, f := range fixtures {
		for _, r := range Run(t, f.Spec(t), family) {
			r.Subject += " of the fixture"
			small[r.Rule] = append(small[r.Rule], r)
		}
	}
	for _, rule := range family {
		t.Run(rule.ID, func(t *testing.T) {
			Example(t, rule)
			notes := slices.Contains(except.Notes, rule.ID)
			gaps := slices.Contains(except.Gaps, rule.ID)
			passes(t, sound[rule.ID], "notes", notes, func(r rules.Result) bool { return r.IsFinding() && r.Level == rules.Note })
			passes(t, sound[rule.ID], "gaps", gaps, func(r rules.Result) bool { return r.Verdict == rules.NotChecked })
			passes(t, sound[rule.ID], "findings", false, func(r rules.Result) bool { return r.IsFinding() && r.Level != rules.Note })
			passes(t, small[rule.ID], "results on a fixture", slices.Contains(except.Fixtures, rule.ID),
				func(r rules.Result) bool { return !r.Verdict.Passes() })
			for _, r := range small[rule.ID] {
				checkWorking(t, r)
			}
		})
	}
}

// passes checks that there are no results of a kind that is not expected, and
// that there are some if it is.
func passes(t *testing.T, results []rules.Result, kind string, expected bool, is func(rules.Result) bool) {
	t.Helper()
	found := slices.ContainsFunc(results, is)
	if expected && !found {
		t.Errorf("the exception for %s is not needed", kind)
	}
	for _, r := range results {
		if is(r) && !expected {
			t.Errorf("false alarm, or a sound vehicle that is not checked: %s: %s %s: %s %s", r.Subject, r.Level, r.Verdict, r.Message, r.Missing)
		}
	}
}
