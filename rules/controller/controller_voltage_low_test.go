package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestControllerVoltageLow(t *testing.T) {
	rule := controllerVoltageLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "works down to the cut-off", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 40}},
		{Name: "stops before", Subject: "drive", Edits: ruletest.Edits("controllers.drive.min_V", "42"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 42, Capability: 40}},
		{Name: "the emptier of two packs", Subject: "drive", Edits: second(ruletest.Edits("batteries.second.min_V", "29")...),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 29}},
	})
	// Four batteries of 11.2 V in series: 44.8 V.
	ruletest.Fixture{File: "../../testdata/sound/series-string.yaml"}.Play(t, rule, []ruletest.Scene{
		{Name: "a string", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 36, Capability: 44.8}},
	})
}
