package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 130 C and 5 K of a bimetal, of 155 C less 10 K.
func TestCutoutOpensLate(t *testing.T) {
	fixture.Play(t, cutoutOpensLate(), []ruletest.Scene{
		{Name: "class F", Subject: "tc", Edits: withCutout(), Want: ruletest.Want{Verdict: rules.Passed, Demand: 135, Capability: 145}},
		{Name: "class B", Subject: "tc", Edits: withCutout("motors.m.limit_C", "130"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 135, Capability: 120, Fix: "115 C or less"}},
		{Name: "a wide tolerance", Subject: "tc", Edits: withCutout("cutouts.tc.tolerance_K", "20"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 150}},
		{Name: "limit not given", Subject: "tc", Edits: withCutout("motors.m.limit_C", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.m.limit_C"}},
		{Name: "the motor", Subject: "m", Edits: withCutout()},
	})
}
