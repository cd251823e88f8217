package battery

import (
	"path/filepath"
	"slices"
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
		{Name: "a charger too large for the switch in the pack", Subject: "pack", Edits: ruletest.Edits("chargers.charger.max_A", "45", "batteries.pack.bms", `{"charge_A": 40}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 45, Capability: 40, Fix: "at most 40 A", Primary: "bms-overloaded/pack"}},
		{Name: "the switch lets in more", Subject: "pack", Edits: ruletest.Edits("batteries.pack.bms", `{"charge_A": 60}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 50}},
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

// A lead-acid battery of 12 mOhm, flat at 10.8 V, asks a converter of 13.2 V for more than
// 100 A, of which its limit gives 13 A. One of 1 Ohm takes what the 2.4 V drive
// through that and the leads. That it takes no more than it bears is only known where
// its sheet gives a float current and 2.30 V per cell, 13.8 V, are not exceeded.
func TestFlatAuxiliary(t *testing.T) {
	rule := batteryChargeHigh()
	for _, tt := range []struct {
		name    string
		edits   []rules.Edit
		verdict rules.Verdict
		demand  float64
	}{
		{"far beyond its limit", ruletest.Edits("batteries.aux.charge_max_A", "1.5"), rules.Failed, 13},
		{"within it", ruletest.Edits("batteries.aux.charge_max_A", "14"), rules.Passed, 13},
		{"its own resistance holds it down", ruletest.Edits("batteries.aux.charge_max_A", "1.5", "batteries.aux.resistance_mOhm", `{"min": 1000, "typ": 1000, "max": 1000}`), rules.Failed, 2.379},
		{"no chemistry", ruletest.Edits("batteries.aux.charge_max_A", "1.5", "batteries.aux.chemistry", "", "batteries.aux.series", ""), rules.Failed, 13},
		{"no limit stated", nil, rules.Passed, 0},
		{"standby use", ruletest.Edits("batteries.aux.charge_max_A", "1.5", "batteries.aux.float_A", "0.1"), rules.Passed, 0.1},
		{"no standby use at 14 V", ruletest.Edits("batteries.aux.charge_max_A", "1.5", "batteries.aux.float_A", "0.1", "converters.dcdc.output.nominal_V", "14"), rules.Failed, 13},
	} {
		t.Run(tt.name, func(t *testing.T) {
			spec := ruletest.Changed(t, filepath.Join("..", "..", "testdata", "sound", "shared-negative.yaml"), tt.edits...)
			results := ruletest.Run(t, spec, []*rules.Rule{rule})
			i := slices.IndexFunc(results, func(r rules.Result) bool { return r.Subject == "aux" })
			if i < 0 || results[i].Verdict != tt.verdict {
				t.Fatalf("%v, want aux to be %s", results, tt.verdict)
			}
			r := results[i]
			if diff := r.Demand.Value - tt.demand; diff > 0.01*tt.demand || diff < -0.01*tt.demand {
				t.Errorf("%v, want %v A", r.Demand, tt.demand)
			}
		})
	}
}
