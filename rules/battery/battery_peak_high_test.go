package battery

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryPeakHigh(t *testing.T) {
	rule := batteryPeakHigh()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within the peak", Subject: "pack",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 160, Capability: 200, Mode: "climb"}},
		{Name: "above the peak", Subject: "pack", Edits: ruletest.Edits("batteries.pack.peak_A", "150"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 160, Capability: 150, Fix: "set the battery-side limit of drive to at most 149 A"}},
		{
			// sqrt(100^2 + (200^2 - 100^2) x 30 / 60) = 158.1 A
			Name: "longer than the peak", Subject: "pack", Edits: ruletest.Edits("modes.climb.lasts_s", "60"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 160, Capability: 158.114},
		},
		{
			// sqrt(100^2 + 30000 x 30 / 54) = 163.3 A
			Name: "longer than the peak, but less of it", Subject: "pack", Edits: ruletest.Edits("modes.climb.lasts_s", "54"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 160, Capability: 163.3},
		},
		{Name: "longer in the cycle", Subject: "pack",
			Edits: ruletest.Edits("cycle", `[{"mode": "climb", "for_s": 60}, {"mode": "off", "for_s": 600}]`),
			Want:  ruletest.Want{Verdict: rules.Failed, Capability: 158.114}},
		{Name: "a peak without a duration counts by its current", Subject: "pack",
			Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "210", "modes.climb", ""),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 210, Capability: 200}},
		{Name: "no peak stated", Subject: "pack", Edits: ruletest.Edits("batteries.pack.peak_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.peak_A"}},
		{Name: "no duration of the peak stated", Subject: "pack", Edits: ruletest.Edits("batteries.pack.peak_s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.peak_s"}},
		{Name: "no peak stated, and none needed", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.peak_A", "", "modes.climb.draw.drive.current_A", "95"),
			Want:  ruletest.Want{Verdict: rules.Passed, Demand: 95, Capability: 100}},
		{Name: "nothing that lasts for a time only", Subject: "pack", Edits: ruletest.Edits("modes.climb", "", "modes.brake", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
	})
}

// What the converter draws beside the controller counts: with the controller at the
// whole 100 A the pack would still be asked for 101 A.
func TestPeakFixHolds(t *testing.T) {
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "a lower limit", File: filepath.Join(ruletest.Fleet(), "heron"), Mistake: ruletest.Edits("batteries.pack.peak_A", "100", "batteries.pack.continuous_A", "80"),
			Rule: "battery-peak-high", Subject: "pack", Says: []string{"set the battery-side limit of drive to at most 99 A, and draw no more in mode climb"},
			Done: ruletest.Edits("controllers.drive.battery_peak_A", "99", "modes.climb.draw.drive", `{"current_A": 99}`)},
	})
}
