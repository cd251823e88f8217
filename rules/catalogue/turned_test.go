package catalogue_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// Which end of a conductor the spec calls its beginning means nothing: with all
// conductors turned round, and with every other one, each result is the same to the last
// digits, of every rule.
func TestConductorsTurnedRound(t *testing.T) {
	for _, path := range soundPaths(t) {
		t.Run(vehicleName(path), func(t *testing.T) {
			t.Parallel()
			source, want := sourceOf(t, path), map[string]rules.Result{}
			for _, r := range soundResults(t, path) {
				want[r.Key()] = r
			}
			for _, every := range []int{1, 2} {
				turned := changedSource(t, source, func(tree map[string]any) { turnRound(tree, every) })
				got := map[string]rules.Result{}
				for _, r := range ruletest.Run(t, specOf(t, turned), catalogue.All()) {
					got[r.Key()] = r
				}
				for _, key := range slices.Sorted(maps.Keys(want)) {
					if d := changed(want[key], got[key]); d != "" {
						t.Errorf("every %d turned: %s: %s", every, key, d)
					}
					delete(got, key)
				}
				for key := range got {
					t.Errorf("every %d turned: %s was not there", every, key)
				}
			}
		})
	}
}

// turnRound writes every so many conductors from their other ends.
func turnRound(tree map[string]any, every int) {
	for _, kind := range []string{"wires", "busbars"} {
		all := members(tree, kind)
		for i, id := range slices.Sorted(maps.Keys(all)) {
			if i%every == 0 {
				all[id]["from"], all[id]["to"] = all[id]["to"], all[id]["from"]
			}
		}
	}
}

// changed says in what two results differ, "" if in nothing.
func changed(a, b rules.Result) string {
	const alike = 1e-9
	if a.Verdict != b.Verdict || !(math.Abs(a.Headroom-b.Headroom) <= alike*max(1, math.Abs(a.Headroom))) {
		return fmt.Sprintf("was %s, %.12g: %s\n\tis %s, %.12g: %s", a.Verdict, a.Headroom, a.Message, b.Verdict, b.Headroom, b.Message)
	}
	return ""
}
