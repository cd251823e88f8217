package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSpareMissing(t *testing.T) {
	fixture.Play(t, spareMissing(), []ruletest.Scene{
		{Name: "carried", Edits: ruletest.Edits("fuses.main.spares", "1"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "none", Edits: ruletest.Edits("fuses.main.spares", "0"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "nothing said", Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.spares"}},
		{Name: "not asked of every fuse", Subject: "branch"},
	})
}
