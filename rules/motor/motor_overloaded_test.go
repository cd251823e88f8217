package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMotorOverloaded(t *testing.T) {
	fixture.Play(t, motorOverloaded(), []ruletest.Scene{
		{Name: "rated for the peak", Subject: "wheel", Want: ruletest.Want{Verdict: rules.Passed, Demand: 200, Capability: 220}},
		{Name: "not for the continuous current, with a cut-out", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.phase_continuous_A", "90"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 100, Capability: 90, Fix: "at most 90 A rms"}},
		{Name: "and without", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.phase_continuous_A", "90", "motors.wheel.thermal_cutout", "false"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		// sqrt(110^2 + (220^2 - 110^2) x 30 / 60) = 173.9 A.
		{Name: "not for as long", Subject: "wheel", Edits: ruletest.Edits("controllers.drive.phase_peak_s", "60"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 200, Capability: 173.925}},
		// 120 s x ln((200^2 - 100^2) / (200^2 - 110^2)) = 8.71 s.
		{Name: "by its time constant", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.phase_peak_A", "", "motors.wheel.phase_peak_s", "", "motors.wheel.winding_tau_s", "120"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 30, Capability: 8.7085}},
		{Name: "a peak of nobody knows what", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.phase_peak_A", "", "motors.wheel.phase_peak_s", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.wheel.phase_peak_A"}},
		{Name: "no rating", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.phase_continuous_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.wheel.phase_continuous_A"}},
		{Name: "a controller", Subject: "drive"},
	})
}
