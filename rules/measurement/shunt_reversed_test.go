package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestShuntReversed(t *testing.T) {
	rule := shuntReversed()
	turned := ruletest.Edits("wires.w4.to", `"s.a"`, "wires.w5.from", `"s.b"`)
	crossed := ruletest.Edits("wires.m1.from", `"s.sense_b"`, "wires.m2.from", `"s.sense_a"`)
	positive := ruletest.Edits("wires.w1.to", `"s.a"`, "wires.w4", `{"from": "s.b", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`, "wires.w5.from", `"minus.stud"`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a towards the battery, in the negative side", Subject: "s", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "reversed", Subject: "s", Edits: turned,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Mode: "everything on", Message: "terminal b towards pack: in mode everything on the meter shows 102 A of charging"}},
		{Name: "sense leads swapped", Subject: "s", Edits: crossed, Want: ruletest.Want{Verdict: rules.Failed, Mode: "everything on", Message: "s: the sense leads to amps are swapped"}},
		{Name: "both", Subject: "s", Edits: append(turned, crossed...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "in the positive side", Subject: "s", Edits: positive, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "reversed in the positive side", Subject: "s", Edits: append(positive, ruletest.Edits("wires.w1.to", `"s.b"`, "wires.w4.from", `"s.a"`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "everything on", Message: "shows 102 A of charging"}},
		{Name: "bridged", Subject: "s", Edits: ruletest.Edits("wires.x", `{"from": "minus.stud", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a battery on one side of s"}},
		{Name: "of two packs the one that it measures decides", Subject: "s", Edits: ruletest.Edits(
			"batteries.aaa", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 20}`,
			"wires.x1", `{"from": "aaa.pos", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`,
			"wires.x2", `{"from": "aaa.neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "towards pack"}},
	})
}
