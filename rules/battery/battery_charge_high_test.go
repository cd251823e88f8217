package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryChargeHigh(t *testing.T) {
	rule := batteryChargeHigh()
	fleetIsSilent(t, rule)
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "regeneration and charger", Subject: "pack",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 50, Mode: "brake"}},
		{Name: "a charger too large", Subject: "pack", Edits: []rules.Edit{set("chargers.charger.max_A", "60")},
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 60, Capability: 50}},
		{Name: "a charger that no mode connects", Subject: "pack", Edits: []rules.Edit{set("chargers.charger.max_A", "60"), drop("modes.charging")},
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Message: "by charger"}},
		{Name: "regeneration too strong follows from the controller's setting", Subject: "pack",
			Edits: []rules.Edit{set("modes.brake.draw.drive.regen_A", "60")},
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 60, Mode: "brake", Primary: "regeneration-high/drive"}},
		{Name: "two packs share it", Subject: "pack", Edits: second(set("modes.brake.draw.drive.regen_A", "60")),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30}},
		{Name: "two packs share the charger", Subject: "pack", Edits: second(set("chargers.charger.max_A", "80"), drop("modes.charging")),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 40}},
		{Name: "no limit stated", Subject: "pack", Edits: []rules.Edit{drop("batteries.pack.charge_max_A")},
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.charge_max_A"}},
		{Name: "nothing charges it", Subject: "pack",
			Edits: []rules.Edit{drop("batteries.pack.charge_max_A"), drop("modes.brake"), drop("modes.charging"), drop("chargers"), drop("wires.w7"), drop("wires.w8")},
			Want:  ruletest.Want{Verdict: rules.Passed, Message: "nothing charges"}},
	})
}

// A converter of 21 A into an empty auxiliary battery: cells of lithium have no
// limit of their own, a lead-acid battery at 13.8 V has.
func TestEmptyAuxiliary(t *testing.T) {
	rule := batteryChargeHigh()
	lithium := []rules.Edit{set("batteries.aux.chemistry", `"LFP"`), set("batteries.aux.series", "4")}
	r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", lithium...), "aux", rules.Failed)
	if r.Level != rules.Warning || r.Demand.Value != 21 {
		t.Errorf("%s: %v, want a warning at 21 A", r.Level, r.Demand)
	}
	ruletest.Silent(t, rule, "heron", append(lithium, set("batteries.aux.charge_max_A", "25"))...)
	ruletest.Silent(t, rule, "heron")
}
