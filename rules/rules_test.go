package rules_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// twice is a rule of one number: every fuse must be rated at least twice its
// number of spares.
func twice() *rules.Rule {
	return &rules.Rule{ID: "fuse-twice", Family: "fuse", Level: rules.Warning, Required: 1, Fix: "in general",
		Check: func(p *rules.Pass) {
			for id, f := range schema.Sorted(p.Spec.Fuses) {
				c := p.Subject(id, f.Path())
				c.Given("I_n", "rating", f.RatedA, "A", f.Path()+".rated_A")
				if !f.Spares.Known {
					c.NotChecked(f.Path()+".spares", "no spares given for %s", id)
					continue
				}
				n := c.Given("n", "spares", f.Spares.Value, "", f.Path()+".spares")
				c.AtMost(rules.Quantity{Value: 2 * n}, rules.Quantity{Value: f.RatedA}, "%s", id)
			}
		}}
}

func TestPolicyTunesARule(t *testing.T) {
	tests := []struct {
		name    string
		edits   []rules.Edit
		verdict rules.Verdict
		level   rules.Level
	}{
		{"as declared", nil, rules.Passed, rules.Warning},
		{"more headroom required", []rules.Edit{{Path: "policy.required.fuse-twice", Value: "63"}}, rules.Failed, rules.Warning},
		{"exactly what is required", []rules.Edit{{Path: "policy.required.fuse-twice", Value: "62.5"}}, rules.Passed, rules.Warning},
		{"another level", []rules.Edit{{Path: "policy.levels.fuse-twice", Value: `"error"`}, {Path: "fuses.main.spares", Value: "100"}}, rules.Failed, rules.Error},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := ruletest.Verdict(t, ruletest.On(t, twice(), "heron", test.edits...), "main", test.verdict)
			if r.Level != test.level {
				t.Errorf("level %s, want %s", r.Level, test.level)
			}
			if r.Fix != "in general" {
				t.Errorf("fix %q, want the rule's", r.Fix)
			}
		})
	}
}

func TestMissingDataIsSaid(t *testing.T) {
	r := ruletest.Verdict(t, ruletest.On(t, twice(), "heron"), "coil_fuse", rules.NotChecked)
	if want := "fuses.coil_fuse.spares"; r.Missing != want {
		t.Errorf("missing %q, want %q", r.Missing, want)
	}
}

// A value of a shared package has the vehicle's line first and the package's
// line beside it.
func TestSharedValueHasBothPlaces(t *testing.T) {
	spec := ruletest.Load(t, filepath.Join(ruletest.Fleet(), "heron"))
	for _, r := range ruletest.Run(t, spec, []*rules.Rule{twice()}) {
		if r.Subject != "coil_fuse" {
			continue
		}
		if got := filepath.Base(r.At.File); got != "house.cue" {
			t.Errorf("primary place in %s, want house.cue", got)
		}
		if len(r.Related) == 0 || filepath.Base(r.Related[0].File) != "fuses.cue" {
			t.Errorf("related places %v, want one in fuses.cue", r.Related)
		}
	}
}

// When what every check rests on holds a mistake, nothing is guessed.
func TestBrokenFoundation(t *testing.T) {
	dir := t.TempDir()
	path := ruletest.Write(t, dir, "v.yaml", "headroom: 1\nvehicle: {name: x, use: nowhere, chassis: isolated}\nfuses: {main: {class: blade, rated_A: 5}}\n")
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	loaded := schema.Read(t.Context(), targets[0], schema.Options{})
	if loaded.Spec == nil || len(loaded.Problems) != 1 {
		t.Fatalf("spec %v, problems %v", loaded.Spec, loaded.Problems)
	}
	got := ruletest.Run(t, loaded.Spec, []*rules.Rule{twice()})
	if len(got) != 1 || got[0].Verdict != rules.NotChecked || got[0].Missing != "vehicle" {
		t.Errorf("results %+v", got)
	}
}

func TestFigure(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 1: "1", 168.75: "168.8", 0.00123456: "0.001235", 12345: "12345", 1e9: "1e9", 2.5: "2.5", 99.996: "100",
		-0.4567: "-0.4567", 1e-6: "1e-6", 3.5e-8: "3.5e-8", -4e-14: "0", math.Inf(1): "unlimited",
	} {
		if got := rules.Figure(v); got != want {
			t.Errorf("Figure(%v) = %q, want %q", v, got, want)
		}
	}
}

func TestSortIsTotal(t *testing.T) {
	at := func(file string, line int) schema.Position { return schema.Position{File: file, Line: line, Column: 1} }
	got := []rules.Result{
		{Rule: "b", At: at("x", 2), Level: rules.Note}, {Rule: "a", At: at("x", 2), Level: rules.Note},
		{Rule: "c", At: at("x", 2), Level: rules.Error}, {Rule: "d", At: at("x", 1)}, {Rule: "e", At: at("w", 9)},
	}
	rules.Sort(got)
	var order []string
	for _, r := range got {
		order = append(order, r.Rule)
	}
	if diff := cmp.Diff([]string{"e", "d", "c", "a", "b"}, order); diff != "" {
		t.Errorf("order (-want +got):\n%s", diff)
	}
}

func TestAnd(t *testing.T) {
	for want, names := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		if got := rules.And(names); got != want {
			t.Errorf("%q of %q, want %q", got, names, want)
		}
	}
}
