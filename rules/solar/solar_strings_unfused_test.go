package solar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStringsUnfused(t *testing.T) {
	fixture.Play(t, stringsUnfused(), []ruletest.Scene{
		{Name: "one", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "three", Edits: ruletest.Edits("solar.roof.in_parallel", "3"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "three with fuses", Edits: ruletest.Edits("solar.roof.in_parallel", "3", "solar.roof.string_fuse_A", "15", "solar.roof.max_series_fuse_A", "15"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "of too much", Edits: ruletest.Edits("solar.roof.in_parallel", "3", "solar.roof.string_fuse_A", "20", "solar.roof.max_series_fuse_A", "15"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 20, Capability: 15}},
		{Name: "for modules that state nothing", Edits: ruletest.Edits("solar.roof.in_parallel", "3", "solar.roof.string_fuse_A", "15"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "solar.roof.max_series_fuse_A"}},
	})
}
