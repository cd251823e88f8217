package catalogue_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func vehicles(t *testing.T) []string {
	t.Helper()
	targets, err := schema.Find([]string{ruletest.Fleet() + "/..."}, schema.Options{})
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

// The vehicles of the fleet have no finding at warning or above, and nothing about
// them goes unchecked.
func TestFleetIsClean(t *testing.T) {
	for _, vehicle := range vehicles(t) {
		for _, r := range soundResults(t, filepath.Join(ruletest.Fleet(), vehicle)) {
			switch {
			case r.IsFinding() && r.Level != rules.Note:
				t.Errorf("%s: %s: %s [%s]", vehicle, r.Level, r.Message, r.Rule)
			case r.Verdict == rules.NotChecked:
				t.Errorf("%s: not checked: %s %s needs %s", vehicle, r.Rule, r.Subject, r.Missing)
			}
		}
	}
}

// The small sound vehicles say little of their parts: what of them goes unchecked
// is no more and no less than the golden list.
func TestUncheckedOfSoundVehicles(t *testing.T) {
	var lines []string
	for _, path := range soundPaths(t) {
		for _, r := range soundResults(t, path) {
			if r.Verdict == rules.NotChecked {
				lines = append(lines, fmt.Sprintf("%s %s %s needs %s\n", vehicleName(path), r.Rule, r.Subject, r.Missing))
			}
		}
	}
	slices.Sort(lines)
	checkGolden(t, filepath.Join("testdata", "unchecked.txt"), strings.Join(lines, ""))
}

// Each rule's example makes that rule fire on the subject that it names, and the
// rule is silent before.
func TestExamples(t *testing.T) {
	list := catalogue.All()
	before := map[string]map[string]bool{} // findings by vehicle
	for _, vehicle := range vehicles(t) {
		before[vehicle] = map[string]bool{}
		for _, r := range soundResults(t, filepath.Join(ruletest.Fleet(), vehicle)) {
			before[vehicle][r.Key()] = before[vehicle][r.Key()] || r.IsFinding()
		}
	}
	inParallel(len(list), func(i int) {
		rule, example := list[i], list[i].Example
		switch {
		case rule.Check == nil:
			return
		case before[example.Vehicle] == nil || len(example.Edits) == 0:
			t.Errorf("%s has no example in the fleet", rule.ID)
			return
		case before[example.Vehicle][rule.ID+"/"+example.Subject]:
			t.Errorf("%s: the rule fires before the edit of its example", rule.ID)
		}
		source := sourceOf(t, filepath.Join(ruletest.Fleet(), example.Vehicle))
		spec, err := parse(t.Context(), example.Vehicle, changedSource(t, source, func(tree map[string]any) { ruletest.Apply(t, tree, example.Edits...) }))
		if err != nil {
			t.Errorf("%s: %v", rule.ID, err)
			return
		}
		if _, ok := ruletest.Finding(ruletest.Run(t, spec, []*rules.Rule{rule}), example.Subject); !ok {
			t.Errorf("%s: the edit of the example does not make the rule fire on %s", rule.ID, example.Subject)
		}
	})
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
		for _, r := range soundResults(t, filepath.Join(ruletest.Fleet(), vehicle)) {
			if seen[r.Key()] {
				t.Errorf("%s: %s has more than one result", vehicle, r.Key())
			}
			seen[r.Key()] = true
		}
	}
}
