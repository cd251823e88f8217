package switches

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPoleLoadKindLow(t *testing.T) {
	rule := poleLoadKindLow()
	fan := lead("x1", "lights.lamps_b", "fan.pos")
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a lamp within lamp_A", Subject: "lights.lamps", Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.398, Capability: 5}},
		{Name: "a lamp above lamp_A", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.lamp_A", "2"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 2.398, Capability: 2, Fix: "at least 2.4 A for filament lamps"}},
		// Without lamp_A 20 % of carry_A: 3 A of 15 A, 2 A of 10 A.
		{Name: "a lamp within a fifth of carry_A", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.lamp_A", ""), Want: ruletest.Want{Verdict: rules.Passed, Capability: 3}},
		{Name: "a lamp above a fifth of carry_A", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.lamp_A", "", "switches.lights.poles.lamps.carry_A", "10"),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 2}},
		{Name: "the policy's share", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.lamp_A", "", "switches.lights.poles.lamps.carry_A", "10", "policy.contact_lamp_percent", "30"),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 3}},
		// The motor draws 5 A: with motor_A 6 A and the lamp 2.4 A of 5 A,
		// 5/6 + 2.39/5 = 131 %.
		{Name: "a lamp and a motor add up", Subject: "lights.lamps", Edits: fan, Want: ruletest.Want{Verdict: rules.Failed, Demand: 131.2, Capability: 100, Relative: 0.003}},
		{Name: "in the mode in which most is on", Subject: "lights.lamps", Edits: append(fan, ruletest.Edits("modes.dim", `{"closed": ["lights"], "on": ["lamp"]}`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "on", Demand: 131.2, Capability: 100, Relative: 0.003}},
		{Name: "a motor alone", Subject: "lights.lamps", Edits: append(fan, ruletest.Edits("wires.l2", "")...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 5, Capability: 6}},
		{Name: "a solenoid", Subject: "lights.lamps", Edits: ruletest.Edits("wires.l2.to", `"buzzer.pos"`, "switches.lights.poles.lamps.inductive_A", "", "switches.lights.poles.lamps.carry_A", "1.5"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 0.6, Capability: 0.525, Relative: 0.01}}, // 6 W / 12 V x 14.4/12; 35 % of 1.5 A
		{Name: "the coil of a relay", Subject: "key.house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.144, Capability: 3.5, Relative: 0.01}},
		{Name: "an LED lamp is not a filament", Subject: "lights.lamps", Edits: ruletest.Edits("wires.l2.to", `"marker.pos"`), Want: ruletest.Want{Verdict: rules.Passed, Message: "neither"}},
		{Name: "a logic input", Subject: "key.drive", Want: ruletest.Want{Verdict: rules.Passed, Message: "neither"}},
		{Name: "neither rating", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.lamp_A", "", "switches.lights.poles.lamps.carry_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.lights.poles.lamps.carry_A"}},
		// Two switches in parallel feed the lamp: neither cuts it off, and half of
		// the current is nobody's.
		{Name: "a second feed", Subject: "lights.lamps", Edits: slices.Concat(ruletest.Edits("switches.both", `{"poles": {"p": {"carry_A": 15}}}`), lead("y1", "plus.stud", "both.p_a"), lead("y2", "both.p_b", "lamp.pos"),
			ruletest.Edits("modes.on.closed", `["key", "lights", "both"]`)), Want: ruletest.Want{Verdict: rules.Passed, Message: "neither"}},
		{Name: "a second feed that the mode leaves open", Subject: "lights.lamps", Edits: slices.Concat(ruletest.Edits("switches.both", `{"poles": {"p": {"carry_A": 15}}}`), lead("y1", "plus.stud", "both.p_a"), lead("y2", "both.p_b", "lamp.pos")),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.398, Capability: 5}},
		// The lamp has a second feed, over a thin wire, and counts as steady: 5 A of
		// 6 A for the motor, and some 2 A of 15 A.
		{Name: "nobody's current beside a motor", Subject: "lights.lamps", Edits: slices.Concat(fan, ruletest.Edits("diodes.d", `{"forward_V": 0.1}`),
			lead("y1", "lights.lamps_b", "d.anode"), ruletest.Edits("wires.l2.from", `"d.cathode"`,
				"switches.both", `{"poles": {"p": {"carry_A": 15}}}`), lead("y2", "plus.stud", "both.p_a"),
			ruletest.Edits("wires.y3", `{"from": "both.p_b", "to": "lamp.pos", "size": "1.5 mm2", "length_m": 90}`, "modes.on.closed", `["key", "lights", "both"]`)),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 97, Relative: 0.02, Message: "resistive loads and"}},
	})
}
