package rules_test

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"example.org/headroom/rules"
)

// Results are sorted as if each were moved to a list of its own, equal ones as they
// came, whatever their order was.
func TestSortByKeepsEqualOnesInOrder(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	byRule := func(a, b *rules.Result) int { return cmp.Compare(a.Rule, b.Rule) }
	for n := range 40 {
		results := make([]rules.Result, n)
		for i := range results {
			results[i] = rules.Result{Rule: strconv.Itoa(random.IntN(1 + n/2)), Subject: strconv.Itoa(i)}
		}
		want := slices.Clone(results)
		slices.SortStableFunc(want, func(a, b rules.Result) int { return byRule(&a, &b) })
		rules.SortBy(results, byRule)
		for i := range want {
			if results[i].Key() != want[i].Key() {
				t.Fatalf("of %d the result at %d is %s, want %s", n, i, results[i].Key(), want[i].Key())
			}
		}
	}
}
