package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestEndLive(t *testing.T) {
	fixture.Play(t, endLive(), []ruletest.Scene{
		{Name: "shrouded", Want: ruletest.Want{Verdict: rules.Passed, Message: "half a stays at 84 V"}},
		{Name: "open", Edits: ruletest.Edits("connectors.plug.unmated.a", `"open"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "open pins on the load side", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a second pack on the other side, open there", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`,
			"batteries.other", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 25}`,
			"wires.o1", `{"from": "other.pos", "to": "main.a", "size": "35 mm2", "length_m": 0.2}`, "wires.o2", `{"from": "other.neg", "to": "plug.b2", "size": "35 mm2", "length_m": 0.2}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "half b"}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.unmated", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.unmated.a"}},
		{Name: "lamps the wrong way round", Subject: "lamp_plug", Edits: ruletest.Edits("connectors.lamp_plug.unmated.a", `"open"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
