package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPrechargeShortBurns(t *testing.T) {
	fifty := []string{"power_W: 100", "power_W: 50"}
	fixture.Play(t, prechargeShortBurns(), []ruletest.Scene{
		{Name: "withstands it continuously", Want: ruletest.Want{Verdict: rules.Passed, Demand: 92.16, Capability: 100}},
		// tau 6 s: 92.16 W x 6 s (1 - exp(-3/6)) = 217.57 J.
		{Name: "withstands it until the contactor closes", Replace: fifty, Want: ruletest.Want{Verdict: rules.Passed, Demand: 217.57, Capability: 300}},
		// tau 2 s: 92.16 W x 2 s (1 - exp(-3/2)) = 143.19 J.
		{Name: "does not", Replace: join(fifty, []string{"pulse_J: 300", "pulse_J: 100"}), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 143.19, Capability: 100}},
		{Name: "permanent", Replace: join(fifty, noRelay, []string{"max_V: 500", "max_V: 500, permanent: true"}), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Capability: 50, Message: "permanent"}},
		{Name: "permanent by its wiring, though nothing says so", Replace: join(fifty, noRelay), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Capability: 50,
			Message: "no contact but the disconnect's"}},
		{Name: "the contactor waits for a voltage", Replace: join(fifty, waitsFor("90")), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Message: "never comes"}},
		{Name: "unknown power", Replace: []string{", power_W: 100", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.power_W"}},
		{Name: "unknown pulse", Replace: join(fifty, []string{", pulse_J: 300", ""}), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.pulse_J"}},
	})
}
