package battery

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryChargeCold(t *testing.T) {
	rule := batteryChargeCold()
	leadAcid := ruletest.Edits("batteries.pack.chemistry", `"lead-acid"`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "as cold as it may be", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "colder", Subject: "pack", Edits: ruletest.Edits("batteries.pack.charge_min_C", "0"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "charged at -10 C in mode brake, lowest charging temperature 0 C"}},
		{Name: "a mode that is colder than the vehicle's range", Subject: "pack", Edits: ruletest.Edits("modes.brake.ambient_C", "-20"),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "brake"}},
		{Name: "charged in a warm shed only", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.charge_min_C", "0", "modes.charging.ambient_C", "5", "modes.brake", ""),
			Want:  ruletest.Want{Verdict: rules.Passed}},
		{Name: "a charger that no mode connects", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.charge_min_C", "0", "modes.charging", "", "modes.brake", ""),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "charged at -10 C by charger"}},
		{Name: "not stated", Subject: "pack", Edits: ruletest.Edits("batteries.pack.charge_min_C", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "LFP cells that state none 0 C"}},
		{Name: "not stated, no chemistry either", Subject: "pack", Edits: ruletest.Edits("batteries.pack.charge_min_C", "", "batteries.pack.chemistry", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.charge_min_C"}},
		{Name: "cells kept warm", Subject: "pack", Edits: ruletest.Edits("batteries.pack.charge_min_C", "0", "batteries.pack.cells_min_C", "5"),
			Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "LTO, not stated", Subject: "pack", Edits: ruletest.Edits("batteries.pack.charge_min_C", "", "batteries.pack.chemistry", `"LTO"`),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "lead-acid, not stated", Subject: "pack", Edits: append(ruletest.Edits("batteries.pack.charge_min_C", ""), leadAcid...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "lead-acid, not stated, in deep frost", Subject: "pack",
			Edits: slices.Concat(ruletest.Edits("batteries.pack.charge_min_C", ""), leadAcid, ruletest.Edits("vehicle.ambient_C.min", "-25")),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "lead-acid cells that state none -15 C"}},
	})
}
