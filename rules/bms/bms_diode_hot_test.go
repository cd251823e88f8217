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
		{Name: "two packs in series", Edits: ruletest.Edits(second...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 30}},
		{Name: "not given", Edits: ruletest.Edits("batteries.pack.bms.diode_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.diode_A"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
