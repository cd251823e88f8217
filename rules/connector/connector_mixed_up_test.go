package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMixedUp(t *testing.T) {
	fixture.Play(t, mixedUp(), []ruletest.Scene{
		{Name: "two families", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "lamps fit into the pack's", Edits: ruletest.Edits("connectors.lamp_plug.family", `"B3"`, "connectors.lamp_plug.key", `"red"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "contact 1 is +84 V"}},
		{Name: "another key", Edits: ruletest.Edits("connectors.lamp_plug.family", `"B3"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "halves alike, no key", Edits: ruletest.Edits("connectors.lamp_plug.family", `"B3"`, "connectors.lamp_plug.key", "", "connectors.plug.key", "", "connectors.plug.genderless", "true"),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "alike"}},
		{Name: "family not given", Edits: ruletest.Edits("connectors.plug.family", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.family"}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
