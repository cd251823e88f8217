package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPhaseCableLong(t *testing.T) {
	fixture.Play(t, phaseCableLong(), []ruletest.Scene{
		{Name: "beside the controller", Subject: "wheel", Want: ruletest.Want{Verdict: rules.Passed, Demand: 1, Capability: 4}},
		{Name: "at the other end of the boat", Subject: "wheel", Edits: ruletest.Edits("wires.v.length_m", "6"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 6, Capability: 4, Message: "phase cable v"}},
		{Name: "a brushed motor", Subject: "wheel", Edits: ruletest.Edits("wires.v.length_m", "6", "motors.wheel.kind", `"brushed"`, "wires.w", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a controller", Subject: "drive"},
	})
}
