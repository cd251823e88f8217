package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryChargeHigh(t *testing.T) {
	rule := batteryChargeHigh()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "regeneration and charger", Subject: "pack",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 50, Mode: "brake"}},
		{Name: "a charger too large", Subject: "pack", Edits: ruletest.Edits("chargers.charger.max_A", "60"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 60, Capability: 50}},
		{Name: "a charger that no mode connects", Subject: "pack", Edits: ruletest.Edits("chargers.charger.max_A", "60", "modes.charging", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Message: "by charger"}},
		{Name: "regeneration too strong follows from the controller's setting", Subject: "pack",
			Edits: ruletest.Edits("modes.brake.draw.drive.regen_A", "60"),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 60, Mode: "brake", Primary: "regeneration-high/drive"}},
		{Name: "a short peak that the pack takes", Subject: "pack",
			Edits: ruletest.Edits("modes.brake.draw.drive.regen_A", "90", "batteries.pack.charge_peak_A", "100", "batteries.pack.charge_peak_s", "20"),
			Want:  ruletest.Want{Verdict: rules.Passed, Demand: 90, Capability: 100, Mode: "brake"}},
		{Name: "a peak is for braking and no charger's", Subject: "pack",
			Edits: ruletest.Edits("chargers.charger.max_A", "60", "batteries.pack.charge_peak_A", "100", "batteries.pack.charge_peak_s", "20"),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 60, Capability: 50}},
		{Name: "two packs share it", Subject: "pack", Edits: second(ruletest.Edits("modes.brake.draw.drive.regen_A", "60")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30}},
		{Name: "two packs share the charger", Subject: "pack", Edits: second(ruletest.Edits("chargers.charger.max_A", "80", "modes.charging", "")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 40}},
		{Name: "no limit stated", Subject: "pack", Edits: ruletest.Edits("batteries.pack.charge_max_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.charge_max_A"}},
		{Name: "nothing charges it", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.charge_max_A", "", "modes.brake", "", "modes.charging", "", "chargers", "", "wires.w7", "", "wires.w8", ""),
			Want:  ruletest.Want{Verdict: rules.Passed, Message: "nothing charges"}},
	})
}

// A converter of 21 A into an empty auxiliary battery: cells of lithium have no
// limit of their own, a lead-acid battery at 13.8 V has.
func TestEmptyAuxiliary(t *testing.T) {
	rule := batteryChargeHigh()
	lithium := ruletest.Edits("batteries.aux.chemistry", `"LFP"`, "batteries.aux.series", "4")
	r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", lithium...), "aux", rules.Failed)
	if r.Level != rules.Error || r.Demand.Value != 21 {
		t.Errorf("%s: %v, want an error at 21 A", r.Level, r.Demand)
	}
	ruletest.Silent(t, rule, "heron", append(lithium, ruletest.Edits("batteries.aux.charge_max_A", "25")...)...)
	ruletest.Silent(t, rule, "heron")
}
