package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCurveUnlikeRating(t *testing.T) {
	rated := func(amperes string) []rules.Edit { return ruletest.Edits("fuses.main.rated_A", amperes) }
	fixture.Play(t, curveUnlikeRating(), []ruletest.Scene{
		{Name: "its own", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "of a smaller fuse", Edits: rated("150"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Message: "the curve is of a smaller fuse"}},
		{Name: "of a larger fuse", Edits: rated("60"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Message: "the curve is of a larger fuse"}},
		{Name: "of partial range, by its least breaking current", Edits: append(rated("60"), ruletest.Edits("fuses.main.class", `"aR"`)...), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "none declared", Subject: "house"},
	})
}
