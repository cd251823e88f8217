package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStringTapped(t *testing.T) {
	rule := stringTapped()
	// A lamp of 12 W across the lower battery of 12 V takes 1 A from the joint.
	lamp := func(pos, neg string, more ...rules.Edit) []rules.Edit {
		return series(append(ruletest.Edits(
			"loads.lamp", `{"kind": "motor", "power_W": 12, "at_V": 12}`,
			"wires.w50", `{"from": "`+pos+`", "to": "lamp.pos", "size": "10 mm2", "length_m": 0.1}`,
			"wires.w51", `{"from": "lamp.neg", "to": "`+neg+`", "size": "10 mm2", "length_m": 0.1}`,
			"modes.cruise.on", `["lamp"]`,
		), more...)...)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a string that nothing taps", Subject: "lower", Edits: series(), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a lamp on one battery", Subject: "lower", Edits: lamp("lower.pos", "lower.neg"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "cruise"}},
		{Name: "a lamp on the upper part", Subject: "lower", Edits: lamp("main.b", "lower.pos"), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "a lamp that no mode turns on", Subject: "lower", Edits: lamp("lower.pos", "lower.neg", ruletest.Edits("modes.cruise.on", "")...),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "everything on"}},
		{Name: "a lamp on the whole string", Subject: "lower", Edits: lamp("main.b", "lower.neg"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a meter on one battery", Subject: "lower", Edits: series(
			ruletest.Edits("wires.w9.from", `"lower.pos"`)...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a charger for each battery", Subject: "lower", Edits: series(
			ruletest.Edits("chargers.small", `{"max_V": 14, "max_A": 5, "isolated": true, "inhibits_drive": true}`,
				"wires.w50", `{"from": "lower.pos", "to": "small.pos", "size": "10 mm2", "length_m": 0.1}`,
				"wires.w51", `{"from": "small.neg", "to": "lower.neg", "size": "10 mm2", "length_m": 0.1}`,
				"modes.charging.connected", `["charger", "small"]`)...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "like resistors across both", Subject: "lower", Edits: series(
			ruletest.Edits("resistors.r1", `{"role": "bleed", "resistance_Ohm": 480}`, "resistors.r2", `{"role": "bleed", "resistance_Ohm": 120}`,
				"wires.w50", `{"from": "pack.pos", "to": "r1.a", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.w51", `{"from": "r1.b", "to": "lower.pos", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.w52", `{"from": "lower.pos", "to": "r2.a", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.w53", `{"from": "r2.b", "to": "lower.neg", "size": "1.5 mm2", "length_m": 0.1}`)...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no modes", Subject: "lower", Edits: series(ruletest.Edits("modes", "")...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
		{Name: "one battery", Subject: "lower"},
	})
}
