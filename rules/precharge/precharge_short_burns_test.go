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
		{Name: "does not", Replace: join(fifty, []string{"pulse_J: 300", "pulse_J: 100"}), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 143.19, Capability: 100}},
		{Name: "permanent", Replace: join(fifty, noRelay, []string{"max_V: 500", "max_V: 500, permanent: true"}), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Capability: 50, Message: "permanent"}},
		{Name: "permanent by its wiring, though nothing says so", Replace: join(fifty, noRelay), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Capability: 50,
			Message: "no contact but the disconnect's"}},
		{Name: "the other way around", Replace: join(fifty, []string{"from: r.b, to: k.b", "from: r.a, to: k.b", "from: ry.no, to: r.a", "from: k.a, to: r.b",
			"  r0: {from: k.a, to: ry.common, size: 1.5 mm2, length_m: 0.1}\n", ""}), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Capability: 50,
			Message: "no contact but the disconnect's"}},
		// Of 120 Ohm in series it takes 96^2 x 100 / 120^2 = 64 W.
		{Name: "a second resistor in series", Replace: []string{"resistors: {", "resistors: {r5: {role: precharge, resistance_Ohm: 20, power_W: 100, pulse_J: 300, max_V: 500}, ",
			"from: r.b, to: k.b", "from: r5.b, to: k.b", "modes:", "  r3: {from: r.b, to: r5.a, size: 1.5 mm2, length_m: 0.1}\nmodes:"},
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 64, Capability: 100}},
		{Name: "the contactor waits for a voltage", Replace: join(fifty, waitsFor("90")), Want: ruletest.Want{Verdict: rules.Failed, Demand: 92.16, Message: "never comes"}},
		{Name: "unknown power", Replace: []string{", power_W: 100", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.power_W"}},
		{Name: "unknown pulse", Replace: join(fifty, []string{", pulse_J: 300", ""}), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "resistors.r.pulse_J"}},
	})
}
