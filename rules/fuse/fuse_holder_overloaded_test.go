package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

func TestHolderOverloaded(t *testing.T) {
	holder := func(value string) edits { return edits{"fuses.branch.holder": value} }
	check(t, holderOverloaded(), []expectation{
		{name: "large enough", change: holder(`{"rated_A": 30}`), subject: "branch", verdict: rules.Passed, demand: 10, capability: 30, headroom: 3},
		{name: "too small", change: holder(`{"rated_A": 7.5}`), subject: "branch", verdict: rules.Failed, level: rules.Warning},
		{name: "rating unknown", change: holder(`{"rated_V_dc": 80}`), subject: "branch", verdict: rules.NotChecked, missing: "fuses.branch.holder.rated_A"},
		{name: "bolted link without a holder", subject: "main"},
	})
}
