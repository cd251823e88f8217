package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestConductorDropHigh(t *testing.T) {
	// Copper at 90 C has 1 + 0.00393 * 70 = 1.2751 times its resistance at 20 C. Out
	// and back at 60 A, by IEC 60228: 2 m of 16 mm2 at 1.21 mOhm/m and 3.1 m of 120
	// mm2 at 0.161 mOhm/m make (2.42 + 0.4991) 1.2751 = 3.7221 mOhm; the fuse, with
	// the policy's 100 mV at 300 A, 0.3333 mOhm; together 4.0555 mOhm x 60 A = 0.24333 V. With the
	// lamps of everything on, the cable carries more.
	fixture.Play(t, conductorDropHigh(), []ruletest.Scene{
		{Name: "out and back", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.261362, Capability: 3, Mode: "everything on", Relative: 2e-3}},
		// 38 m more of 16 mm2 and 11 m more of 120 mm2.
		{Name: "too long", Edits: ruletest.Edits("wires.out.length_m", "40", "wires.on.length_m", "12"), Subject: "drive",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 4.20032, Capability: 3, Relative: 2e-3, Fix: "out"}},
		{Name: "only in a peak", Subject: "drive",
			Edits: ruletest.Edits("wires.out.length_m", "12", "modes.hill", `{"draw": {"drive": {"current_A": 300}}, "lasts_s": 10}`),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Mode: "hill"}},
		{Name: "nothing drawn: its continuous limit", Subject: "drive", Edits: ruletest.Edits("modes.roll.draw", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		// An open switch that a pre-charge leads round: what is lost over the resistor is no drop.
		{Name: "on its pre-charge alone, in the mode that is declared", Subject: "drive",
			Edits: ruletest.Edits("disconnects.gate", `{"carry_A": 200}`, "resistors.soft", `{"role": "precharge", "resistance_Ohm": 100}`, "wires.on.from", `"gate.b"`,
				"wires.on2", `{"from": "joint.stud", "to": "gate.a", "size": "120 mm2", "length_m": 0.1}`,
				"wires.s1", `{"from": "gate.a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1}`, "wires.s2", `{"from": "soft.b", "to": "gate.b", "size": "2.5 mm2", "length_m": 0.1}`,
				"controllers.drive.bleed_kOhm", "1"),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		{Name: "a battery of unknown resistance", Subject: "drive", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		// Loads have a rule of their own.
		{Name: "a lamp is no subject", Subject: "lamp"},
	})
}
