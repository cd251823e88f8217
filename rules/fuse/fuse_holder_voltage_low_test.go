package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

func TestHolderVoltageLow(t *testing.T) {
	holder := func(value string) edits { return edits{"fuses.branch.holder": value} }
	check(t, holderVoltageLow(), []expectation{
		{name: "high enough", change: holder(`{"rated_V_dc": 80}`), subject: "branch", verdict: rules.Passed, demand: 56.6, capability: 80},
		{name: "a holder for 12 V", change: holder(`{"rated_V_dc": 32}`), subject: "branch", verdict: rules.Failed, level: rules.Warning},
		{name: "voltage unknown", change: holder(`{"rated_A": 30}`), subject: "branch", verdict: rules.NotChecked, missing: "fuses.branch.holder.rated_V_dc"},
		{name: "no holder", subject: "main"},
	})
}
