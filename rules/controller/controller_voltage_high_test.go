package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestControllerVoltageHigh(t *testing.T) {
	rule := controllerVoltageHigh()
	fleetIsSilent(t, rule)
	limit := func(v string) rules.Edit { return set("controllers.drive.max_V", v) }
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "regeneration into a full pack", Subject: "drive", // 54 V + 40 A x 10 mOhm
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 54.4, Capability: 70}},
		{Name: "a full pack", Subject: "drive", Edits: []rules.Edit{limit("52")},
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 54.4, Capability: 52, Fix: "survives 55 V"}},
		{Name: "only regeneration", Subject: "drive", Edits: []rules.Edit{limit("54.2")},
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 54.4}},
		{Name: "a charger for more cells", Subject: "drive", Edits: []rules.Edit{limit("60"), set("chargers.charger.max_V", "67")},
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 67, Primary: "charger-voltage-high/charger"}},
		{Name: "too low for the pack itself, whatever the charger", Subject: "drive", Edits: []rules.Edit{limit("52"), set("chargers.charger.max_V", "67")},
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 67}},
		{Name: "a charger above the pack that the controller bears", Subject: "drive", Edits: []rules.Edit{set("chargers.charger.max_V", "60")},
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 60}},
		{Name: "resistance not given", Subject: "drive", Edits: []rules.Edit{drop("batteries.pack.resistance_mOhm")},
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "resistance not given, and not needed to know", Subject: "drive", Edits: []rules.Edit{drop("batteries.pack.resistance_mOhm"), limit("52")},
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 54}},
		{Name: "a spare", Subject: "drive", Edits: []rules.Edit{set("controllers.drive.spare", "true")}},
	})
}
