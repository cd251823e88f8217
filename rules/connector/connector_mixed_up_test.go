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
		{Name: "halves alike, one key", Edits: ruletest.Edits("connectors.lamp_plug.family", `"B3"`, "connectors.lamp_plug.key", `"red"`, "connectors.plug.genderless", "true"),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "alike"}},
		{Name: "halves alike, on two packs in parallel", Edits: append(twin("battery"), ruletest.Edits("connectors.plug.genderless", "true")...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "halves alike, on another pack", Edits: append(twin("battery"), ruletest.Edits("connectors.plug.genderless", "true", "wires.t3.to", `"drive2.pos"`, "wires.t4.to", `"drive2.neg"`,
			"controllers.drive2", `{"min_V": 50, "max_V": 100, "battery_continuous_A": 80}`)...), Want: ruletest.Want{Verdict: rules.Failed, Message: "alike"}},
		{Name: "two packs in parallel", Edits: twin("battery"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "an inlet of the same polarity", Edits: inlet, Want: ruletest.Want{Verdict: rules.Failed, Message: "without the battery"}},
		{Name: "seen from the inlet", Subject: "twin", Edits: inlet, Want: ruletest.Want{Verdict: rules.Failed, Message: "without the battery"}},
		{Name: "family not given", Edits: ruletest.Edits("connectors.plug.family", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.family"}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}

// twin are edits that put a second connector like the first beside it, with another pack.
func twin(use string) []rules.Edit {
	return ruletest.Edits("connectors.twin", `{"use": "`+use+`", "contacts": [{"carry_A": 120}, {"carry_A": 120}, {"carry_A": 5}], "family": "B3", "key": "red"}`,
		"batteries.other", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 25}`,
		"wires.t1", `{"from": "other.pos", "to": "twin.a1", "size": "35 mm2", "length_m": 0.2}`, "wires.t2", `{"from": "other.neg", "to": "twin.a2", "size": "35 mm2", "length_m": 0.2}`,
		"wires.t3", `{"from": "twin.b1", "to": "main.a", "size": "35 mm2", "length_m": 0.2}`, "wires.t4", `{"from": "twin.b2", "to": "drive.neg", "size": "35 mm2", "length_m": 0.2}`,
		"wires.t5", `{"from": "house.b", "to": "twin.a3", "size": "1.5 mm2", "length_m": 0.2}`, "wires.t6", `{"from": "twin.b3", "to": "key.p_a", "size": "1.5 mm2", "length_m": 0.2}`)
}

// inlet are edits that put a charging inlet like the first connector beside it.
var inlet = append(twin("inlet"), ruletest.Edits("wires.t3.to", `"pack.pos"`, "wires.t4.to", `"pack.neg"`, "batteries.other", "",
	"wires.t1.from", `"charger.pos"`, "wires.t2.from", `"charger.neg"`, "chargers.charger", `{"max_V": 84, "max_A": 10, "isolated": true}`)...)
