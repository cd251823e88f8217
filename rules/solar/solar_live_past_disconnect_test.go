package solar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLivePastDisconnect(t *testing.T) {
	fixture.Play(t, livePastDisconnect(), []ruletest.Scene{
		{Name: "the lamp stays live", Want: ruletest.Want{Verdict: rules.Passed, Message: "lamp live at up to 14.4 V"}},
		{Name: "above class A", Edits: ruletest.Edits("solar.roof.regulator.without_battery_V", "70"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "on the side of the battery", Edits: ruletest.Edits("wires.w5.from", `"main.b"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no disconnect", Edits: ruletest.Edits("disconnects", "", "wires.w2.to", `"plus.stud"`, "wires.w3", "", "modes", `{"noon": {"on": ["lamp"], "connected": ["roof"]}}`)},
	})
}
