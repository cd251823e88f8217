package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Regeneration of 25 A is more than the charger's 15 A: 25 A x 0.8 V = 20 W.
func TestDiodeHot(t *testing.T) {
	fixture.Play(t, diodeHot(), []ruletest.Scene{
		{Name: "within the diodes", Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 30, Message: "20 W"}},
		{Name: "small diodes", Edits: ruletest.Edits("batteries.pack.bms.diode_A", "10"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 25, Capability: 10, Primary: "regeneration-high/drive"}},
		{Name: "no regeneration", Edits: ruletest.Edits("controllers.drive.regen_A", "", "modes.downhill", ""), Want: ruletest.Want{Verdict: rules.Passed, Demand: 15}},
		// A roof charges beside the drive, 25 A + 8 A, and beside the charger, 15 A + 8 A.
		{Name: "with a roof", Edits: roof, Want: ruletest.Want{Verdict: rules.Failed, Demand: 33, Capability: 30, Primary: "regeneration-high/drive"}},
		{Name: "with a roof, no regeneration", Edits: append(roof, ruletest.Edits("controllers.drive.regen_A", "", "modes.downhill", "")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 23, Message: "charger with panel"}},
		{Name: "two packs in series", Edits: ruletest.Edits(second...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 30}},
		{Name: "not given", Edits: ruletest.Edits("batteries.pack.bms.diode_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.diode_A"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}

// roof are edits that put a solar panel of 8 A on the pack.
var roof = ruletest.Edits("solar.panel", `{"Voc_V": 80, "Isc_A": 8, "regulator": {"max_pv_V": 150, "output_V": 58.4, "max_A": 8}}`,
	"wires.s1", `{"from": "panel.pos", "to": "main.b", "size": "4 mm2", "length_m": 0.5}`, "wires.s2", `{"from": "panel.neg", "to": "pack.neg", "size": "4 mm2", "length_m": 0.5}`)
