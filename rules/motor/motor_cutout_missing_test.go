package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMotorCutoutMissing(t *testing.T) {
	fixture.Play(t, motorCutoutMissing(), []ruletest.Scene{
		{Name: "there is one", Subject: "wheel", Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "there is none", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.thermal_cutout", "false"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Fix: "enable input"}},
		{Name: "not stated", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.thermal_cutout", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.wheel.thermal_cutout"}},
		{Name: "a controller", Subject: "drive"},
	})
}
