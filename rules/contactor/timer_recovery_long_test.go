package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// timed is the fixture with a timer in the path of the coil: 0.2 m and 1 m of 1.5 mm2.
func timed(fields string) []string {
	return []string{"controllers:", "timers: {tm: {set_s: 3, supply_V: {min: 8, max: 18}, contact: {carry_A: 5}" + fields + "}}\ncontrollers:",
		"coil: {from: key.p_b, to: k.coil_pos", "coil: {from: tm.no, to: k.coil_pos",
		"modes:", "  t1: {from: key.p_b, to: tm.pos, size: 1.5 mm2, length_m: 0.1}\n  t2: {from: tm.pos, to: tm.common, size: 1.5 mm2, length_m: 0.1}\n  t3: {from: tm.neg, to: k.coil_neg, size: 1.5 mm2, length_m: 0.1}\nmodes:"}
}

func TestTimerRecoveryLong(t *testing.T) {
	fixture.Play(t, timerRecoveryLong(), []ruletest.Scene{
		{Name: "short", Subject: "tm", Replace: timed(", recovery_s: 0.1"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.1, Capability: 0.2}},
		{Name: "long", Subject: "tm", Replace: timed(", recovery_s: 0.5"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 0.5}},
		{Name: "not said", Subject: "tm", Replace: timed(""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "timers.tm.recovery_s"}},
		{Name: "one that delays opening", Subject: "tm", Replace: timed(", function: off-delay")},
	})
}
