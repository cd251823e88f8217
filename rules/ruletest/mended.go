package ruletest

import (
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
)

// Advice is a mistake, what the fix of its finding says, and what it comes to when
// somebody does it.
type Advice struct {
	Name    string
	File    string       // of the vehicle
	Mistake []rules.Edit // what makes the finding
	Rule    string
	Subject string
	Says    []string // parts of the fix
	Not     string   // what is not in it; "" for nothing
	Done    []rules.Edit
}

// Follow checks, of each piece of advice, that the finding is there with the fix
// that is said, that it is gone once that is done, and that no rule of the family
// has a finding then that it did not have before.
func Follow(t *testing.T, family []*rules.Rule, all []Advice) {
	t.Helper()
	for _, a := range all {
		t.Run(a.Name, func(t *testing.T) { a.follow(t, family) })
	}
}

func (a Advice) follow(t *testing.T, family []*rules.Rule) {
	key := a.Rule + "/" + a.Subject
	before := Run(t, Changed(t, a.File, a.Mistake...), family)
	i := slices.IndexFunc(before, func(r rules.Result) bool { return r.IsFinding() && r.Key() == key })
	if i < 0 {
		for _, r := range before {
			if r.IsFinding() || r.Key() == key {
				t.Logf("%s %s: %s", r.Key(), r.Verdict, r.Message)
			}
		}
		t.Fatalf("the mistake is not found as %s", key)
	}
	for _, says := range a.Says {
		holds(t, before[i].Fix, says, true)
	}
	if a.Not != "" {
		holds(t, before[i].Fix, a.Not, false)
	}
	for _, r := range Run(t, Changed(t, a.File, slices.Concat(a.Mistake, a.Done)...), family) {
		if !r.IsFinding() {
			continue
		}
		had := slices.ContainsFunc(before, func(b rules.Result) bool { return b.IsFinding() && b.Key() == r.Key() })
		if r.Key() == key || !had {
			t.Errorf("after %q: %s: %s", before[i].Fix, r.Key(), r.Message)
		}
	}
}

func holds(t *testing.T, fix, part string, want bool) {
	t.Helper()
	if strings.Contains(fix, part) != want {
		t.Errorf("fix %q, %q in it: want %t", fix, part, want)
	}
}
