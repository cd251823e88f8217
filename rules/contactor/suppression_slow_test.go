package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSuppressionSlow(t *testing.T) {
	rule := suppressionSlow()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "a suppressor", want: want{verdict: rules.Passed}},
		{name: "a plain diode", change: suppressed("suppression: diode"), want: want{verdict: rules.Failed, level: rules.Warning, message: "plain diode of k"}},
		{name: "with a zener diode", change: suppressed("suppression: diode+zener, clamp_V: 24"), want: want{verdict: rules.Passed}},
		{name: "a plain diode beside a suppressor", change: acrossCoil("k.coil_neg", "k.coil_pos"), want: want{verdict: rules.Failed, message: "plain diode of d"}},
		{name: "on a small contact it does not matter", change: append([]string{"{carry_A: 100,", "{carry_A: 30,"}, suppressed("suppression: diode")...), want: want{verdict: rules.Passed}},
		{name: "unknown contact", change: append([]string{"{carry_A: 100, ", "{"}, suppressed("suppression: diode")...), want: want{verdict: rules.NotChecked, missing: "contactors.k.contact.carry_A"}},
		{name: "no suppression", change: suppressed("suppression: none"), silent: true},
	})
	t.Run("the plain diode of a relay in parallel slows the contactor", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", rules.Edit{Path: "relays.soft_relay.coil.suppression", Value: `"diode"`},
			rules.Edit{Path: "relays.soft_relay.coil.clamp_V"})
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
}
