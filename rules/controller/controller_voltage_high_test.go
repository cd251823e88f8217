package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestControllerVoltageHigh(t *testing.T) {
	rule := controllerVoltageHigh()
	limit := func(v string) []rules.Edit { return ruletest.Edits("controllers.drive.max_V", v) }
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "regeneration into a full pack", Subject: "drive", // 54 V + 40 A x 10 mOhm
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 54.4, Capability: 70}},
		{Name: "a full pack", Subject: "drive", Edits: limit("52"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 54.4, Capability: 52, Fix: "at least 55 V"}},
		{Name: "only regeneration", Subject: "drive", Edits: limit("54.2"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 54.4}},
		{Name: "a charger for more cells", Subject: "drive", Edits: append(limit("60"), ruletest.Edits("chargers.charger.max_V", "67")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 67, Primary: "charger-voltage-high/charger"}},
		{Name: "too low for the pack itself, whatever the charger", Subject: "drive", Edits: append(limit("52"), ruletest.Edits("chargers.charger.max_V", "67")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 67}},
		{Name: "too low for the pack under regeneration, whatever the charger", Subject: "drive", Edits: append(limit("54.2"), ruletest.Edits("chargers.charger.max_V", "67")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 67}},
		{Name: "a charger above the pack that the controller withstands", Subject: "drive", Edits: ruletest.Edits("chargers.charger.max_V", "60"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 60}},
		{Name: "resistance not given", Subject: "drive", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "resistance not given, and not needed to know", Subject: "drive", Edits: append(ruletest.Edits("batteries.pack.resistance_mOhm", ""), limit("52")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 54}},
		// 54 V x 1.2 = 64.8 V, whatever the resistance adds.
		{Name: "resistance not given, and too near without it", Subject: "drive",
			Edits: append(ruletest.Edits("batteries.pack.resistance_mOhm", "", "policy.required.controller-voltage-high", "1.2"), limit("60")...),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 54}},
		{Name: "a spare", Subject: "drive", Edits: ruletest.Edits("controllers.drive.spare", "true")},
	})
}
