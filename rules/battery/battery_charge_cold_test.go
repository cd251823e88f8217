package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryChargeCold(t *testing.T) {
	rule := batteryChargeCold()
	fleetIsSilent(t, rule)
	leadAcid := set("batteries.pack.chemistry", `"lead-acid"`)
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "as cold as it may be", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "colder", Subject: "pack", Edits: []rules.Edit{set("batteries.pack.charge_min_C", "0")},
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "down to -10 C; it may be charged down to 0 C"}},
		{Name: "a mode that is colder than the vehicle's range", Subject: "pack", Edits: []rules.Edit{set("modes.brake.ambient_C", "-20")},
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "brake"}},
		{Name: "charged in a warm shed only", Subject: "pack",
			Edits: []rules.Edit{set("batteries.pack.charge_min_C", "0"), set("modes.charging.ambient_C", "5"), drop("modes.brake")},
			Want:  ruletest.Want{Verdict: rules.Passed}},
		{Name: "a charger that no mode connects", Subject: "pack",
			Edits: []rules.Edit{set("batteries.pack.charge_min_C", "0"), drop("modes.charging"), drop("modes.brake")},
			Want:  ruletest.Want{Verdict: rules.Failed, Message: "charger charges pack"}},
		{Name: "not stated", Subject: "pack", Edits: []rules.Edit{drop("batteries.pack.charge_min_C")},
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.charge_min_C"}},
		{Name: "lead-acid, not stated", Subject: "pack", Edits: []rules.Edit{drop("batteries.pack.charge_min_C"), leadAcid},
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "lead-acid, not stated, in deep frost", Subject: "pack",
			Edits: []rules.Edit{drop("batteries.pack.charge_min_C"), leadAcid, set("vehicle.ambient_C.min", "-25")},
			Want:  ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.charge_min_C"}},
	})
}
