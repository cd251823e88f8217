package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPoleCarryLow(t *testing.T) {
	rule := poleCarryLow()
	// The filament of 6 Ohm: at 14.4 V behind 5 mOhm of contact and 1 mOhm of
	// battery 2.3976 A.
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within", Subject: "lights.lamps", Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.398, Capability: 15, Mode: "on"}},
		{Name: "above", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.carry_A", "2.2"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 2.2, Fix: "at least 2.4 A"}},
		{Name: "a short mode counts like a long one", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.carry_A", "2", "modes.on.lasts_s", "5", "modes.on.every_s", "500"),
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "the coil of the relay, not what the relay feeds", Subject: "key.house", Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.144, Relative: 0.01}},
		{Name: "no mode closes it", Subject: "lights.lamps", Edits: ruletest.Edits("modes.on.closed", `["key"]`), Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		{Name: "not given", Subject: "lights.lamps", Edits: ruletest.Edits("switches.lights.poles.lamps.carry_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.lights.poles.lamps.carry_A"}},
		{Name: "a pack of unknown resistance is nothing to the house", Subject: "lights.lamps", Edits: append(lead("common", "aux.neg", "pack.neg"), ruletest.Edits("batteries.pack.resistance_mOhm", "", "modes.on.draw.drive", `{"power_W": 2000}`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
