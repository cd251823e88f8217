package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestUnreachable(t *testing.T) {
	fixture.Play(t, unreachable(), []ruletest.Scene{
		{Name: "reachable", Edits: ruletest.Edits("fuses.main.reachable", "true"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not", Edits: ruletest.Edits("fuses.main.reachable", "false"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "nothing said", Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.reachable"}},
		{Name: "not asked of every fuse", Subject: "branch"},
	})
}
