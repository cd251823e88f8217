package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryCutoffTrips(t *testing.T) {
	rule := batteryCutoffTrips()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the controller's limit", Subject: "pack",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 180, Capability: 300}},
		{Name: "a mode reaches it", Subject: "pack", Edits: ruletest.Edits("batteries.pack.cutoff.trip_A", "170"), // 1.1 x 160 = 176
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 160, Capability: 170, Mode: "climb"}},
		{Name: "only the controller's limit reaches it", Subject: "pack", Edits: ruletest.Edits("batteries.pack.cutoff.trip_A", "190"), // 1.1 x 180 = 198
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 180, Capability: 190}},
		{Name: "it trips at what it does not give anyway", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.cutoff.trip_A", "150", "batteries.pack.peak_A", "140"),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 160, Primary: "battery-peak-high/pack"}},
		{Name: "only the controller's limit, and the pack does not give that", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.cutoff.trip_A", "190", "batteries.pack.peak_A", "170"),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 180, Primary: "controller-above-battery/drive"}},
		{Name: "two packs share it", Subject: "pack", Edits: second(ruletest.Edits("batteries.pack.cutoff.trip_A", "100")...), // 1.1 x 90 = 99
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 90, Capability: 100}},
		{Name: "no cut-off", Subject: "pack", Edits: ruletest.Edits("batteries.pack.cutoff", "")},
		{Name: "power, and a resistance that is not given", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "", "modes.cruise.draw.drive", `{"power_W": 3000}`),
			Want:  ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
	})
}
