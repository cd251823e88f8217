package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

func TestPrechargeShortBurns(t *testing.T) {
	fifty := []string{"power_W: 100", "power_W: 50"}
	run(t, prechargeShortBurns(), []benchCase{
		{name: "bears it continuously", verdict: rules.Passed, demand: 92.16, capability: 100},
		// tau 6 s: 92.16 W x 6 s (1 - exp(-3/6)) = 217.57 J.
		{name: "bears it until the contactor closes", change: fifty, verdict: rules.Passed, demand: 217.57, capability: 300},
		// tau 2 s: 92.16 W x 2 s (1 - exp(-3/2)) = 143.19 J.
		{name: "does not", change: join(fifty, []string{"pulse_J: 300", "pulse_J: 100"}), verdict: rules.Failed, level: rules.Warning, demand: 143.19, capability: 100},
		{name: "permanent", change: join(fifty, noRelay, []string{"max_V: 500", "max_V: 500, permanent: true"}), verdict: rules.Failed, demand: 92.16, capability: 50, message: "permanent"},
		{name: "permanent by its wiring, though nothing says so", change: join(fifty, noRelay), verdict: rules.Failed, demand: 92.16, capability: 50,
			message: "no contact but the disconnect's"},
		{name: "the contactor waits for a voltage", change: join(fifty, waitsFor("90")), verdict: rules.Failed, demand: 92.16, message: "never comes"},
		{name: "unknown power", change: []string{", power_W: 100", ""}, verdict: rules.NotChecked, missing: "resistors.r.power_W"},
		{name: "unknown pulse", change: join(fifty, []string{", pulse_J: 300", ""}), verdict: rules.NotChecked, missing: "resistors.r.pulse_J"},
	})
}
