package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPhaseShorted(t *testing.T) {
	failed := func(message string) ruletest.Want {
		return ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: message}
	}
	passed := ruletest.Want{Verdict: rules.Passed}
	brushed := func(u, v string) []rules.Edit {
		return ruletest.Edits("motors.wheel.kind", `"brushed"`, "wires.w", "", "wires.u.from", u, "wires.v.from", v)
	}
	fixture.Play(t, phaseShorted(), []ruletest.Scene{
		{Name: "each on its own", Subject: "wheel", Want: passed},
		{Name: "on plus of the controller", Subject: "wheel", Edits: ruletest.Edits("wires.w.from", `"drive.pos"`), Want: failed("wheel.w is joined to pack.pos")},
		{Name: "on minus of the pack", Subject: "wheel", Edits: ruletest.Edits("wires.w.from", `"pack.neg"`), Want: failed("wheel.w is joined to pack.neg")},
		{Name: "on a controller that no battery feeds", Subject: "wheel", Edits: ruletest.Edits("wires.w.from", `"drive.pos"`, "wires.w2", ""), Want: failed("wheel.w is joined to drive.pos")},
		{Name: "on the chassis", Subject: "wheel", Edits: ruletest.Edits("wires.w.from", `"chassis"`), Want: failed("wheel.w is joined to chassis")},
		{Name: "two on one terminal", Subject: "wheel", Edits: ruletest.Edits("wires.w.from", `"drive.v"`), Want: failed("wheel.w is joined to wheel.v")},
		{Name: "a bridge between two", Subject: "wheel", Want: failed("wheel.w is joined to wheel.u"),
			Edits: ruletest.Edits("wires.bridge", `{"from": "wheel.u", "to": "wheel.w", "size": "25 mm2", "length_m": 0.1}`)},
		{Name: "a contact between two, which brakes", Subject: "wheel", Want: passed,
			Edits: ruletest.Edits("switches.brake", `{"poles": {"p": {}}}`, "wires.b1", `{"from": "wheel.u", "to": "brake.p_a", "size": "25 mm2", "length_m": 0.1}`,
				"wires.b2", `{"from": "brake.p_b", "to": "wheel.w", "size": "25 mm2", "length_m": 0.1}`)},
		{Name: "a brushed motor with one end on plus", Subject: "wheel", Edits: brushed(`"drive.pos"`, `"drive.v"`), Want: passed},
		{Name: "a brushed motor with both ends on one terminal", Subject: "wheel", Edits: brushed(`"drive.v"`, `"drive.v"`), Want: failed("wheel.v is joined to wheel.u")},
		{Name: "a spare motor", Subject: "spare", Edits: ruletest.Edits("motors.spare", `{"kind": "brushed", "spare": true}`)},
	})
}
