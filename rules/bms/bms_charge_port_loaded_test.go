package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargePortLoaded(t *testing.T) {
	port := ruletest.Edits("batteries.pack.bms.port", `"separate"`, "wires.c5.to", `"pack.charge"`)
	fixture.Play(t, chargePortLoaded(), []ruletest.Scene{
		{Name: "one port", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the charger on its port", Edits: port, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the lamp as well", Edits: append(port, ruletest.Edits("wires.l2.to", `"charger.neg"`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "lamp"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
