package catalogue_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/schema"
)

var (
	// updateSeeded rewrites the summary of the seeded faults.
	updateSeeded = flag.Bool("update", false, "rewrite the golden files of this package")
	// seeds is how many selections of the possible faults are tried, from the first.
	seeds = flag.Int("seeds", 1, "how many seeds of faults to try, beginning with seed 1")
	// seededRule keeps to the faults of some rules, for those who work on them.
	seededRule = flag.String("rule", "", "a regular expression of rules: try the faults that they must see alone")
)

// enoughSeeds is how many seeds call for every argument at least once.
const enoughSeeds = 10

// Realistic mistakes, each of which lies at least 15 % beyond a limit by a
// computation that shares nothing with the rules, are all found, and whatever
// else is found with them is true as well. The rule that sees one says the same
// of the vehicle in other words, and sees it with two batteries in series for each.
func TestSeededFaults(t *testing.T) {
	s, ran, called := newSeeding(t), 0, map[string]int{}
	for seed := uint64(1); seed <= uint64(*seeds); seed++ {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			mutants := s.faults(seed)
			outcomes := make([]outcome, len(mutants))
			inParallel(len(mutants), func(i int) { outcomes[i] = s.check(t, mutants[i]) })
			for i, m := range mutants {
				m.report(t, outcomes[i])
			}
			if *seededRule != "" {
				return
			}
			s.checkEnough(t, mutants)
			for _, counts := range []map[string]int{reasons(outcomes), known(outcomes)} {
				for reason, n := range counts {
					called[reason] += n
				}
			}
			ran++
			summary := summarise(s.list, seed, mutants, outcomes)
			t.Log("\n" + summary)
			if seed == 1 {
				checkGolden(t, filepath.Join("testdata", "seeded.txt"), summary)
			}
		})
	}
	if ran >= enoughSeeds {
		checkNeeded(t, called)
	}
}

func (m *mutant) report(t *testing.T, o outcome) {
	t.Helper()
	switch {
	case o.broken != "":
		t.Errorf("%v: cannot be checked: %s", m, o.broken)
	case !o.caught && o.missed != "":
		t.Errorf("MISS %v: oracle %.3g beyond the limit, the rule says: %s", m, m.ratio, o.missed)
	default:
		t.Logf("%v: %.3g", m, m.ratio)
	}
	for _, extra := range o.open {
		t.Errorf("EXTRA %v: %s", m, extra)
	}
	for _, difference := range o.reworded {
		t.Errorf("IN OTHER WORDS %v: %s", m, difference)
	}
	if o.halved != "" {
		t.Errorf("MISS %v with two batteries in series: %s", m, o.halved)
	}
}

// summarise writes how many faults of each rule were seeded and caught, and
// what else was found.
func summarise(list []*rules.Rule, seed uint64, mutants []*mutant, outcomes []outcome) string {
	type tally struct{ seeded, caught, others int }
	byRule := map[string]*tally{}
	caught, followers, agreed, argued := 0, 0, 0, 0
	for i, m := range mutants {
		o := outcomes[i]
		row := byRule[m.rule]
		if row == nil {
			row = &tally{}
			byRule[m.rule] = row
		}
		row.seeded++
		row.others += o.agreed + len(o.argued) + len(o.open)
		if o.caught {
			row.caught++
			caught++
		}
		followers, agreed, argued = followers+o.followers, agreed+o.agreed, argued+len(o.argued)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Seeded faults (seed %d): %d in %d rules, %d caught (%.1f %%).\n", seed, len(mutants), len(byRule), caught,
		100*float64(caught)/float64(len(mutants)))
	fmt.Fprintf(&b, "Other findings of warning or error: %d follow from the one expected, %d the oracle expects as well, %d are argued below.\n\n",
		followers, agreed, argued)
	fmt.Fprintf(&b, "%-30s seeded caught others\n", "rule")
	for _, r := range list {
		if row := byRule[r.ID]; row != nil {
			fmt.Fprintf(&b, "%-30s %6d %6d %6d\n", r.ID, row.seeded, row.caught, row.others)
		}
	}
	b.WriteString("\nWhy other findings are true where the oracle does not expect them:\n")
	for reason, n := range schema.Sorted(reasons(outcomes)) {
		fmt.Fprintf(&b, "%4d  %s\n", n, reason)
	}
	b.WriteString("\nMissed, or found wrongly, and to be mended:\n")
	for reason, n := range schema.Sorted(known(outcomes)) {
		fmt.Fprintf(&b, "%4d  %s\n", n, reason)
	}
	return b.String()
}

// reasons counts how often each argument was called for.
func reasons(outcomes []outcome) map[string]int {
	out := map[string]int{}
	for _, o := range outcomes {
		for _, reason := range o.argued {
			out[reason]++
		}
	}
	return out
}

// known counts how often each defect was met.
func known(outcomes []outcome) map[string]int {
	out := map[string]int{}
	for _, o := range outcomes {
		for _, reason := range o.defects {
			out[reason]++
		}
	}
	return out
}

// checkGolden compares a text with a file, or rewrites the file.
func checkGolden(t *testing.T, path, got string) {
	t.Helper()
	if *updateSeeded {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s changed; go test -update rewrites it (-want +got):\n%s", path, diff)
	}
}

// checkNeeded reports arguments and defects that nothing calls for any more.
func checkNeeded(t *testing.T, called map[string]int) {
	t.Helper()
	for _, a := range slices.Concat(arguments(), consequences()) {
		for _, extra := range strings.Fields(a.extra) {
			used := false
			for key := range called {
				used = used || strings.HasSuffix(key, ": "+a.reason) && strings.HasPrefix(key, extra+" beside "+a.rule+" (")
			}
			if !used {
				t.Errorf("the argument for %s beside %s (%s) is not needed", extra, a.rule, a.kind)
			}
		}
	}
	for _, d := range defects() {
		if called[d.key()] == 0 {
			t.Errorf("mended: %s", d.key())
		}
	}
}

// rarely gives the rules for which the sound vehicles leave room for fewer
// than three faults, with the reason.
func rarely() map[string]string {
	return map[string]string{
		"disconnect-single-pole":    "only two vehicles have a disconnect of two poles above 60 V",
		"connector-pilot-in-return": "few vehicles feed their main contactor's coil from a house network whose negative side is the chassis",
		"plug-inrush-high":          "only one vehicle has nothing but its isolator between the pack and a converter's capacitors",
	}
}

// checkEnough reports rules without three faults each, and kinds of mistake for
// a rule that does not exist. Rules of the format have none: their tests are the
// malformed specifications.
func (s *seeding) checkEnough(t *testing.T, mutants []*mutant) {
	t.Helper()
	if len(mutants) < 300 {
		t.Errorf("only %d faults seeded, want 300 at least", len(mutants))
	}
	seeded := map[string]int{}
	for _, m := range mutants {
		seeded[m.rule]++
	}
	for _, m := range s.kinds {
		if catalogue.Find(m.rule) == nil {
			t.Errorf("%s: no rule %s", m.kind, m.rule)
		}
	}
	few := rarely()
	for _, r := range s.list {
		n := seeded[r.ID]
		switch _, excused := few[r.ID]; {
		case strings.HasPrefix(r.ID, "spec-"):
		case n == 0, n < 3 && !excused:
			t.Errorf("%d faults are seeded for %s, want three", n, r.ID)
		case n >= 3 && excused:
			t.Errorf("%s has %d faults and needs no excuse", r.ID, n)
		}
	}
}
