package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPrechargeAttemptsHot(t *testing.T) {
	weak := []string{"power_W: 100, pulse_J: 300", "power_W: 1, pulse_J: 30"}
	fixture.Play(t, prechargeAttemptsHot(), []ruletest.Scene{
		// tau 3 s, q = exp(-20/3): 21.6576 J x 1.00127.
		{Name: "plain", Want: ruletest.Want{Verdict: rules.Passed, Demand: 21.685, Capability: 300}},
		// tau 30 s, q = exp(-2/3) = 0.51342: 21.6576 J x 1.77701.
		{Name: "too small", Replace: weak, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 38.486, Capability: 30}},
		{Name: "one attempt a minute", Replace: join(weak, []string{"modes:", "policy: {precharge_attempts: 1}\nmodes:"}), Want: ruletest.Want{Verdict: rules.Passed, Demand: 21.6576}},
		{Name: "not even one", Replace: []string{"pulse_J: 300", "pulse_J: 20"}, Want: ruletest.Want{Verdict: rules.Failed, Primary: "precharge-pulse-high/r"}},
		{Name: "unknown power", Replace: []string{", power_W: 100", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.power_W"}},
		{Name: "unknown pulse", Replace: []string{", pulse_J: 300", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.pulse_J"}},
	})
}
