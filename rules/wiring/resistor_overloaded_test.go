package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A pack of 50 to 60 V feeds a bleed resistor of 100 Ohm by way of a switch.
var bleeding = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: bleeding, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {pack: {role: traction, min_V: 50, nominal_V: 55, max_V: 60, resistance_mOhm: 1, capacity_Ah: 60}}
switches: {s: {role: other, poles: {p: {carry_A: 10, rated_V_dc: 96}}}}
resistors: {r: {role: bleed, resistance_Ohm: 100, power_W: 50}}
wires: {w1: {from: pack.pos, to: s.p_a, size: 4 mm2, length_m: 0.1}, w2: {from: s.p_b, to: r.a, size: 4 mm2, length_m: 0.1}, w3: {from: r.b, to: pack.neg, size: 4 mm2, length_m: 0.1}}
modes: {on: {closed: [s]}, parked: {}}
`}

func TestResistorOverloaded(t *testing.T) {
	bleeding.Play(t, resistorOverloaded(), []ruletest.Scene{
		// 60 V across 100 Ohm: 36 W.
		{Name: "within", Subject: "r", Want: ruletest.Want{Verdict: rules.Passed, Demand: 36, Capability: 50, Mode: "on"}},
		{Name: "too small", Subject: "r", Edits: ruletest.Edits("resistors.r.power_W", "25"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 36, Capability: 25, Fix: "power_W of at least 36"}},
		// tau 60 s, 60 s of every 300 s: (1 - exp(-1)) / (1 - exp(-5)) = 0.63641 of 36 W.
		{Name: "for a minute", Subject: "r", Edits: ruletest.Edits("modes.on.lasts_s", "60", "modes.on.every_s", "300"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 22.911}},
		{Name: "on in no mode that is declared", Subject: "r", Edits: ruletest.Edits("modes.on", "", "resistors.r.power_W", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.power_W"}},
		{Name: "unknown", Subject: "r", Edits: ruletest.Edits("resistors.r.power_W", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.power_W"}},
		// Beside 24 V of a LED 36 V are left for the resistor: 36^2 / 100 = 12.96 W, where a
		// constant power of 2.4 W would leave it 0.2 W.
		{Name: "before a LED", Subject: "r", Edits: ruletest.Edits("resistors.r.power_W", "10", "loads.l", `{"kind": "led", "power_W": 2.4, "at_V": 24}`,
			"wires.w3.from", `"l.neg"`, "wires.w4", `{"from": "r.b", "to": "l.pos", "size": "4 mm2", "length_m": 0.1}`, "modes.on.on", `["l"]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 12.96, Capability: 10}},
		// At 6 V the resistor gives 0.54 A, 3.2 W of the 5 W that the load wants: 54^2 / 100 W.
		{Name: "before electronics that it cannot start", Subject: "r", Edits: ruletest.Edits("resistors.r.power_W", "40", "loads.l", `{"kind": "electronic", "power_W": 5, "at_V": 24, "min_V": 6}`,
			"wires.w3.from", `"l.neg"`, "wires.w4", `{"from": "r.b", "to": "l.pos", "size": "4 mm2", "length_m": 0.1}`, "modes.on.on", `["l"]`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 29.16, Capability: 40}},
		{Name: "pre-charge", Subject: "r", Edits: ruletest.Edits("resistors.r.role", `"precharge"`)},
	})
}
