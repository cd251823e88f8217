package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMotorVoltageHigh(t *testing.T) {
	fixture.Play(t, motorVoltageHigh(), []ruletest.Scene{
		{Name: "slow enough", Subject: "wheel", Want: ruletest.Want{Verdict: rules.Passed, Demand: 60, Capability: 68}},
		{Name: "downhill", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.max_rpm", "4000"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 80, Capability: 68, Message: "drive is rated 68 V"}},
		{Name: "a weaker meter beside it", Subject: "wheel", Edits: ruletest.Edits("meters.voltmeter.max_V", "59"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Capability: 59, Message: "voltmeter is rated 59 V"}},
		{Name: "the same meter at the pack", Subject: "wheel", Edits: ruletest.Edits("meters.voltmeter.max_V", "59", "wires.w4.from", `"pack.pos"`),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 68}},
		{Name: "an induction motor", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.max_rpm", "4000", "motors.wheel.kind", `"induction"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no speed constant", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.kv_rpm_per_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.wheel.kv_rpm_per_V"}},
		{Name: "no speed", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.max_rpm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.wheel.max_rpm"}},
		{Name: "a controller", Subject: "drive"},
	})
}
