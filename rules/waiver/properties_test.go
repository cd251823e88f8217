package waiver_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"example.org/headroom/rules"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

// What waivers do does not depend on the order in which they or the results stand.
func TestOrderOfWaiversMeansNothing(t *testing.T) {
	type named struct{ rule, subject string }
	all := []named{{"wire-overloaded", "w1"}, {"wire-overloaded", "main"}, {"fuse-low", "lights"}, {"fuse-low", "main"}, {"part-unused", "lights"},
		{"voltage-missing", "lights"}, {"mode-empty", "parked"}, {"no-such-rule", "w1"}, {"wire-overloaded", "nobody"}}
	rapid.Check(t, func(r *rapid.T) {
		var entries []string
		for _, n := range rapid.SliceOfNDistinct(rapid.SampledFrom(all), 1, len(all), rapid.ID[named]).Draw(r, "waivers") {
			more := ""
			if rapid.Bool().Draw(r, "bounded") {
				more = fmt.Sprintf(", down_to: %.3f", rapid.Float64Range(0.3, 1).Draw(r, "least"))
			}
			day := time.Date(2026, 11, rapid.IntRange(1, 60).Draw(r, "day"), 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
			entries = append(entries, entry(n.rule, n.subject, day, more))
		}
		today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
		apply := func(entries []string, results []rules.Result) []rules.Result {
			return waiver.Apply(cart(t, strings.Join(entries, "")), results, known(), today)
		}
		want := apply(entries, given())
		got := apply(rapid.Permutation(entries).Draw(r, "entries"), rapid.Permutation(given()).Draw(r, "results"))
		// Where a waiver stands moves with it, and findings are listed by their places.
		byKey := cmpopts.SortSlices(func(a, b rules.Result) bool { return a.Key() < b.Key() })
		if diff := cmp.Diff(want, got, byKey, cmpopts.IgnoreTypes(schema.Position{}), cmpopts.IgnoreFields(rules.Origin{}, "Path"), cmpopts.EquateEmpty()); diff != "" {
			r.Fatalf("with the same in another order (-before +after):\n%s", diff)
		}
	})
}
