package switches

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPoleMakeLow(t *testing.T) {
	rule := poleMakeLow()
	noLamp := ruletest.Edits("switches.lights.poles.lamps.lamp_A", "")
	fan := ruletest.Edits("wires.l2.to", `"fan.pos"`, "switches.lights.poles.lamps.motor_A", "")
	// The key in the pack's main circuit: 84 V, 20 mOhm + 1 m of 0.272 mOhm/m, 0.5
	// uH and 1 mF: a = 20272 1/s, w0 = 44721 1/s, t = 27.60 us, 84 V sqrt(C/L) exp(-a t)
	// = 2146.7 A.
	main := ruletest.Edits("wires.p1.to", `"key.drive_a"`, "wires.e1", "", "wires.e2", "",
		"wires.p3", `{"from": "key.drive_b", "to": "drive.pos", "size": "70 mm2", "length_m": 0.0000001}`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a lamp that lamp_A covers", Subject: "lights.lamps", Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.398, Capability: 60}},
		{Name: "a cold lamp", Subject: "lights.lamps", Edits: noLamp, Want: ruletest.Want{Verdict: rules.Passed, Demand: 23.98}},
		{Name: "a cold lamp on a small switch", Subject: "lights.lamps", Edits: append(noLamp, ruletest.Edits("switches.lights.poles.lamps.make_A", "20")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 23.98, Capability: 20, Primary: "pole-load-kind-low/lights.lamps"}},
		// 23.98 A of the cold lamp and 5 A of the motor, whose inrush motor_A covers; in the other mode the lamp alone.
		{Name: "in the mode in which most is on", Subject: "lights.lamps", Edits: slices.Concat(noLamp, lead("x1", "lights.lamps_b", "fan.pos"),
			ruletest.Edits("modes.dim", `{"closed": ["lights"], "on": ["lamp"]}`)), Want: ruletest.Want{Verdict: rules.Passed, Mode: "on", Demand: 28.98, Relative: 0.003}},
		{Name: "a standing motor", Subject: "lights.lamps", Edits: fan, Want: ruletest.Want{Verdict: rules.Passed, Demand: 25}},
		{Name: "a motor of unknown stall", Subject: "lights.lamps", Edits: append(fan, ruletest.Edits("loads.fan.stall_A", "")...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 30}}, // 6 x 5 A
		{Name: "without make_A a lamp is the other rule's", Subject: "lights.lamps", Edits: append(noLamp, ruletest.Edits("switches.lights.poles.lamps.make_A", "")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.398, Capability: 15}},
		{Name: "an economiser pulls in", Subject: "key.house", Edits: ruletest.Edits("relays.r.coil.drive", `"economiser"`, "relays.r.coil.pickup_A", "4", "relays.r.coil.hold_A", "0.2", "switches.key.poles.house.make_A", "3"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 4, Capability: 3}},
		{Name: "a controller's capacitors", Subject: "key.drive", Edits: append(main, ruletest.Edits("switches.key.poles.drive.make_A", "100", "switches.key.poles.drive.carry_A", "80")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 2146.7, Capability: 100}},
		{Name: "capacitors and no making capacity", Subject: "key.drive", Edits: main, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.key.poles.drive.make_A"}},
		{Name: "capacitors of unknown size", Subject: "key.drive", Edits: append(main, ruletest.Edits("controllers.drive.capacitance_uF", "")...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.capacitance_uF"}},
		{Name: "a controller that limits its own inrush", Subject: "key.drive", Edits: append(main, ruletest.Edits("controllers.drive.internal_precharge", "true", "switches.key.poles.drive.carry_A", "80")...),
			Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
