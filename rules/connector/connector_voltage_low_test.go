package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestVoltageLow(t *testing.T) {
	fixture.Play(t, voltageLow(), []ruletest.Scene{
		{Name: "above the pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 84, Capability: 100}},
		{Name: "one contact for less", Edits: ruletest.Edits("connectors.plug.contacts", `[{"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 120, "rated_V_dc": 80}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 84, Capability: 80}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.contacts", `[{"carry_A": 120}, {"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.contacts.0.rated_V_dc"}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
