package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPilotInReturn(t *testing.T) {
	inReturn := ruletest.Edits("wires.c2.to", `"key.p_a"`, "wires.c3", "", "wires.c5.to", `"plug.a3"`,
		"wires.c6", `{"from": "plug.b3", "to": "aux.neg", "size": "1.5 mm2", "length_m": 0.5}`)
	strap := `{"from": "aux.neg", "to": "chassis", "size": "4 mm2", "length_m": 0.3}`
	onChassis := append(inReturn[:len(inReturn):len(inReturn)], ruletest.Edits("vehicle.chassis", `"house-negative"`, "wires.strap", strap)...)
	fixture.Play(t, pilotInReturn(), []ruletest.Scene{
		{Name: "in the feed", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "in the return", Edits: onChassis, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "k1"}},
		{Name: "in the return, chassis isolated", Edits: inReturn, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "in the return, chassis on the house but declared isolated", Edits: append(inReturn[:len(inReturn):len(inReturn)], ruletest.Edits("wires.strap", strap)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "in the feed, house on the chassis", Edits: ruletest.Edits("vehicle.chassis", `"house-negative"`, "wires.strap", strap), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no pilot", Subject: "lamp_plug"},
	})
}
