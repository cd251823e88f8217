package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

func TestUnreachable(t *testing.T) {
	check(t, unreachable(), []expectation{
		{name: "reachable", change: edits{"fuses.main.reachable": "true"}, subject: "main", verdict: rules.Passed},
		{name: "not", change: edits{"fuses.main.reachable": "false"}, subject: "main", verdict: rules.Failed, level: rules.Note},
		{name: "nothing said", subject: "main", verdict: rules.NotChecked, missing: "fuses.main.reachable"},
		{name: "not asked of every fuse", subject: "branch"},
	})
}
