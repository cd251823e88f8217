package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// ISO 8820-3: a blade fuse surely opens from 135 % on, 5 A from 6.75 A. The
// converter gives 12 A: 1.78 times that, where 1.3 times are asked.
func TestCannotOpen(t *testing.T) {
	fixture.Play(t, cannotOpen(), []ruletest.Scene{
		{Name: "opens", Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 6.75, Capability: 12, Headroom: 12 / 6.75}},
		{Name: "too near", Edits: ruletest.Edits("fuses.house.rated_A", "7.5"), Subject: "house", Want: ruletest.Want{Verdict: rules.Failed, Demand: 10.125, Headroom: 12 / 10.125, Level: rules.Warning}},
		{Name: "assumed limit", Edits: ruletest.Edits("converters.converter.output.limit_A", "", "converters.converter.output.peak_A", ""),
			Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Capability: 11}},
		{Name: "hiccup", Edits: ruletest.Edits("converters.converter.output.at_limit", `"hiccup"`), Subject: "house", Want: ruletest.Want{Verdict: rules.Failed, Message: "hiccup"}},
		{Name: "foldback", Edits: ruletest.Edits("converters.converter.output.at_limit", `"foldback"`), Subject: "house", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "no curve", Edits: ruletest.Edits("fuses.house.class", `"other"`), Subject: "house", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.house.opening"}},
		{Name: "a battery feeds it", Subject: "branch"},
	})
}
