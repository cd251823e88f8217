package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

func TestPrechargeAttemptsHot(t *testing.T) {
	weak := []string{"power_W: 100, pulse_J: 300", "power_W: 1, pulse_J: 30"}
	run(t, prechargeAttemptsHot(), []benchCase{
		// tau 3 s, q = exp(-20/3): 21.6576 J x 1.00127.
		{name: "plain", verdict: rules.Passed, demand: 21.685, capability: 300},
		// tau 30 s, q = exp(-2/3) = 0.51342: 21.6576 J x 1.77701.
		{name: "too small", change: weak, verdict: rules.Failed, level: rules.Warning, demand: 38.486, capability: 30},
		{name: "one attempt a minute", change: join(weak, []string{"modes:", "policy: {precharge_attempts: 1}\nmodes:"}), verdict: rules.Passed, demand: 21.6576},
		{name: "not even one", change: []string{"pulse_J: 300", "pulse_J: 20"}, verdict: rules.Failed, primary: "precharge-pulse-high/r"},
		{name: "unknown power", change: []string{", power_W: 100", ""}, verdict: rules.NotChecked, missing: "resistors.r.power_W"},
		{name: "unknown pulse", change: []string{", pulse_J: 300", ""}, verdict: rules.NotChecked, missing: "resistors.r.pulse_J"},
	})
}
