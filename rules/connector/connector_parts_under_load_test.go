package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPartsUnderLoad(t *testing.T) {
	fixture.Play(t, partsUnderLoad(), []ruletest.Scene{
		{Name: "the pilot takes the load off", Want: ruletest.Want{Verdict: rules.Passed, Message: "pilot contacts take the load off"}},
		{Name: "a bridge past the pilot", Edits: ruletest.Edits("wires.bridge", `{"from": "house.b", "to": "key.p_a", "size": "1.5 mm2", "length_m": 0.5}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "A and 84 V (mode"}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.breaks", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.breaks"}},
		{Name: "breaks it", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.breaks", `[{"V": 100, "A": 90}]`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 90}},
		{Name: "breaks it at a lower voltage", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.breaks", `[{"V": 60, "A": 90}]`),
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "latched lamps", Subject: "lamp_plug", Want: ruletest.Want{Verdict: rules.Passed, Message: "latched"}},
		{Name: "lamps without a latch", Subject: "lamp_plug", Edits: ruletest.Edits("connectors.lamp_plug.lock", `"none"`), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
