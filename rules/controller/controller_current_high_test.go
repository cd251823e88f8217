package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestControllerCurrentHigh(t *testing.T) {
	rule := controllerCurrentHigh()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within peak and cycle", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 160, Capability: 180, Mode: "climb"}},
		{Name: "above the peak", Subject: "drive", Edits: ruletest.Edits("controllers.drive.battery_peak_A", "150"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 160, Capability: 150}},
		{
			// sqrt(120^2 + (180^2 - 120^2) x 60 / 120) = 152.97 A
			Name: "longer than the peak", Subject: "drive", Edits: ruletest.Edits("modes.climb.lasts_s", "120"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 160, Capability: 152.97},
		},
		{Name: "too much continuously", Subject: "drive", Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "130"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 133, Relative: 0.03, Capability: 120}},
		{Name: "too much continuously, nothing else", Subject: "drive", Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "130", "modes.climb", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 130, Capability: 120, Fix: "lasts_s"}},
		{
			// tau 600 s: (1 - exp(-0.05)) / (1 - exp(-1)) = 0.077154;
			// sqrt(80^2 + (160^2 - 80^2) x 0.077154) = 88.78 A.
			Name: "too much over the cycle", Subject: "drive", Edits: ruletest.Edits("controllers.drive.battery_continuous_A", "85"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 88.78, Capability: 85},
		},
		{Name: "a power at the nominal voltage", Subject: "drive", // 6000 W at 46.7 V
			Edits: ruletest.Edits("modes.cruise.draw.drive", `{"power_W": 6000}`, "modes.climb", ""),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 128.5, Relative: 5e-3}},
		{Name: "a power that is too much continuously from an empty pack", Subject: "drive", // 5000 W at 48 and at 40 V
			Edits: ruletest.Edits("modes.cruise.draw.drive", `{"power_W": 5000}`, "modes.climb", ""),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 129.2, Relative: 5e-3}},
		// 5000 W from 39 V at least are 128 A; that the controller would hold at its
		// peak of 125 A does not make it less.
		{Name: "a power beyond the peak of an empty pack is not hidden by the controller's own cap", Subject: "drive",
			Edits: ruletest.Edits("modes.cruise.draw.drive", `{"power_W": 5000}`, "modes.climb", "", "controllers.drive.battery_peak_A", "125", "controllers.drive.battery_continuous_A", "125"),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 128.5, Relative: 1e-2}},
		{Name: "no continuous current stated", Subject: "drive", Edits: ruletest.Edits("controllers.drive.battery_continuous_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.battery_continuous_A"}},
		{Name: "no peak stated", Subject: "drive", Edits: ruletest.Edits("controllers.drive.battery_peak_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.battery_peak_A"}},
		{Name: "no duration of the peak stated", Subject: "drive", Edits: ruletest.Edits("controllers.drive.peak_s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.peak_s"}},
		{Name: "it draws in no mode", Subject: "drive", Edits: ruletest.Edits("modes.cruise", "", "modes.climb", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
