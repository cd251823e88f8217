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
		// Beside the coil's 24 Ohm: 24 / (24 + R) of the time with a plain diode.
		{name: "a diode with the coil's own resistance", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), want: want{verdict: rules.Passed}},
		{name: "a diode with a little less", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "20")), want: want{verdict: rules.Passed}},
		{name: "a diode with a small resistor", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "6")), want: want{verdict: rules.Failed, level: rules.Warning, message: "80 % of the time", fix: "about 24 Ohm"}},
		{name: "a small resistor on a small contact", change: join([]string{"{carry_A: 100,", "{carry_A: 30,"}, suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "6")), want: want{verdict: rules.Passed}},
		{name: "a resistor beside an unknown coil", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{"resistance_Ohm: 24, rise_K", "rise_K"}), want: want{verdict: rules.NotChecked, missing: "contactors.k.coil.resistance_Ohm"}},
		{name: "a small resistor beside a suppressor still conducts first", change: rowAcrossCoil("k.coil_neg", "k.coil_pos", "6"), want: want{verdict: rules.Failed}},
		{name: "no suppression", change: suppressed("suppression: none"), silent: true},
	})
	t.Run("the plain diode of a relay in parallel slows the contactor", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", rules.Edit{Path: "relays.soft_relay.coil.suppression", Value: `"diode"`},
			rules.Edit{Path: "relays.soft_relay.coil.clamp_V"})
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
}
