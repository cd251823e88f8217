package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectShortTimeLow(t *testing.T) {
	rule := disconnectShortTimeLow()
	fixture.Play(t, rule, []ruletest.Scene{
		// The controller's own peak: 150 A for 30 s. Log-log between 400 A for 5 s
		// and 200 A for 60 s: 400 (30/5)^(ln(1/2)/ln(12)) = 400 x 0.60670 = 242.7 A.
		{Name: "the peak of the controller", Subject: "iso", Want: ruletest.Want{Verdict: rules.Passed, Demand: 150, Capability: 242.66, Message: "peak of drive"}},
		{Name: "what it feeds back, whether or not a mode says so", Subject: "iso", Edits: ruletest.Edits("controllers.drive.regen_A", "260"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 260, Capability: 242.66, Message: "regeneration of drive"}},
		{Name: "a mode at a point of the rating", Subject: "iso", Edits: climbing(ruletest.Edits("controllers.drive.battery_peak_A", "")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 150, Capability: 200, Mode: "climb"}},
		{Name: "longer than the rating", Subject: "iso", Edits: climbing(ruletest.Edits("modes.climb.lasts_s", "90")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 150, Capability: 100}},
		{Name: "a step of the cycle", Subject: "iso", Edits: climbing(ruletest.Edits("modes.climb.lasts_s", "", "modes.climb.every_s", "",
			"cycle", `[{"mode": "climb", "for_s": 90}, {"mode": "drive", "for_s": 900}]`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 150, Capability: 100}},
		{Name: "no rating", Subject: "iso", Edits: climbing(ruletest.Edits("disconnects.iso.short_time", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.short_time"}},
		{Name: "shorter than any rating, and above it", Subject: "iso", Edits: climbing(ruletest.Edits("modes.climb.lasts_s", "2", "modes.climb.draw.drive.current_A", "450", "controllers.drive.battery_peak_A", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.short_time"}},
		{Name: "shorter than any rating, and within the shortest", Subject: "iso", Edits: climbing(ruletest.Edits("modes.climb.lasts_s", "2", "modes.climb.draw.drive.current_A", "350", "controllers.drive.battery_peak_A", "")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 350, Capability: 400}},
		{Name: "a peak of unknown length", Subject: "iso", Edits: ruletest.Edits("controllers.drive.peak_s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.peak_s"}},
		{Name: "a peak within what it carries continuously needs no length", Subject: "iso", Edits: ruletest.Edits("controllers.drive.peak_s", "", "controllers.drive.battery_peak_A", "90"),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no peak", Subject: "iso", Edits: ruletest.Edits("controllers.drive.battery_peak_A", "", "controllers.drive.peak_s", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "no peak"}},
	})
}
