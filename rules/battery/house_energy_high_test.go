package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestHouseEnergyHigh(t *testing.T) {
	rule := houseEnergyHigh()
	heater := ruletest.Edits(
		"loads.heater", `{"kind": "resistive", "power_W": 1200, "at_V": 48}`,
		"wires.w30", `{"from": "plus.stud", "to": "heater.pos", "size": "120 mm2", "length_m": 0.01}`,
		"wires.w31", `{"from": "heater.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`,
		"modes.cruise.on", `["heater"]`,
	)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "next to nothing", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed, Capability: 20}},
		{
			// 1.92 Ohm: V = 48 - 0.01 (80 + V / 1.92) = 46.96 V, so 24.5 A of 104.5 A.
			Name: "a heater while driving", Subject: "pack", Edits: heater,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 23.41, Mode: "cruise", Relative: 2e-3},
		},
		{
			// One third of the cycle with 24.5 A of 104.5 A, two thirds with 160 A at
			// 46.4 V: 1148 / (4905 + 2 x 7424) = 5.8 %.
			Name: "over the cycle", Subject: "pack",
			Edits: append(heater, ruletest.Edits("cycle", `[{"mode": "cruise", "for_s": 60}, {"mode": "climb", "for_s": 120}]`)...),
			Want:  ruletest.Want{Verdict: rules.Passed, Demand: 5.82, Relative: 5e-3},
		},
		{Name: "standing still does not count", Subject: "pack", Edits: append(heater[:3:3], ruletest.Edits("modes.off.on", `["heater"]`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "cruise"}},
	})
}
