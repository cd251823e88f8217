package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestShuntMissesCurrent(t *testing.T) {
	rule := shuntMissesCurrent()
	twin := ruletest.Edits("batteries.twin", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 20}`,
		"wires.x1", `{"from": "twin.pos", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`,
		"wires.x2", `{"from": "twin.neg", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "it carries all", Subject: "s", Want: ruletest.Want{Verdict: rules.Passed, Capability: 3}},
		{Name: "a charger on the battery's side", Subject: "s", Edits: ruletest.Edits("wires.c2.to", `"pack.neg"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Mode: "charge", Demand: 10, Capability: 3, Message: "charger bypasses it"}},
		// 2 A of 3 A: less than an instrument of class 1 shows.
		{Name: "a heater too small to be seen", Subject: "s", Edits: ruletest.Edits("wires.h2.to", `"pack.neg"`), Want: ruletest.Want{Verdict: rules.Passed, Demand: 2, Relative: 0.01}},
		{Name: "a heater that would be seen", Subject: "s", Edits: ruletest.Edits("wires.h2.to", `"pack.neg"`, "shunts.s.rated_A", "150"),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "heat", Capability: 1.5, Message: "heater bypasses it"}},
		// 300 A and the heater's own: (84 V - 302 A x 20 mOhm) / 42 Ohm = 1.856 A, less than a
		// hundredth of both and yet a difference.
		{Name: "a small part of a large current", Subject: "s", Edits: ruletest.Edits("wires.h2.to", `"pack.neg"`, "modes.heat", "", "modes.drive.on", `["heater"]`, "modes.drive.draw.drive.current_A", "300"),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "drive", Demand: 1.856, Relative: 0.002}},
		{Name: "the greater of two that bypass it", Subject: "s", Edits: ruletest.Edits("wires.h2.to", `"pack.neg"`, "loads.stove", `{"kind": "resistive", "power_W": 336, "at_V": 84}`,
			"wires.o1", `{"from": "plus.stud", "to": "stove.pos", "size": "70 mm2", "length_m": 0.1}`, "wires.o2", `{"from": "stove.neg", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`,
			"modes.heat.on", `["heater", "stove"]`),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "heat", Demand: 6, Relative: 0.01, Message: "stove bypasses it"}},
		{Name: "two packs in parallel on its side", Subject: "s", Edits: twin, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a second pack beyond it", Subject: "s", Edits: append(twin, ruletest.Edits("wires.x2.to", `"minus.stud"`)...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "it measures the controller, and carries the heater too", Subject: "s", Edits: ruletest.Edits("shunts.s.measures", `"drive"`, "shunts.s.rated_A", "150"),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "charge", Demand: 10}},
		{Name: "it claims nothing", Subject: "s", Edits: ruletest.Edits("shunts.s.measures", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "shunts.s.measures"}},
	})
}
