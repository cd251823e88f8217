package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

func TestSpareMissing(t *testing.T) {
	check(t, spareMissing(), []expectation{
		{name: "carried", change: edits{"fuses.main.spares": "1"}, subject: "main", verdict: rules.Passed},
		{name: "none", change: edits{"fuses.main.spares": "0"}, subject: "main", verdict: rules.Failed, level: rules.Note},
		{name: "nothing said", subject: "main", verdict: rules.NotChecked, missing: "fuses.main.spares"},
		{name: "not asked of every fuse", subject: "branch"},
	})
}
