package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The battery has 10 to 16 V; the coil's 0.5 A leave some hundredths of a volt on the way.
func TestTimerSupplyOutside(t *testing.T) {
	fixture.Play(t, timerSupplyOutside(), []ruletest.Scene{
		{Name: "within", Subject: "tm", Replace: timed(""), Want: ruletest.Want{Verdict: rules.Passed, Demand: 16, Relative: 0.01, Capability: 18}},
		{Name: "too low", Subject: "tm", Replace: join(timed(""), []string{"min: 8, max: 18", "min: 11, max: 18"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 11, Capability: 10, Relative: 0.06, Message: "lowest supply"}},
		{Name: "too high", Subject: "tm", Replace: join(timed(""), []string{"min: 8, max: 18", "min: 8, max: 14"}), Want: ruletest.Want{Verdict: rules.Failed, Demand: 16, Relative: 0.01, Capability: 14}},
		{Name: "no mode feeds it", Subject: "tm", Replace: join(timed(""), []string{"closed: [key]", "closed: []"}), Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
	})
}
