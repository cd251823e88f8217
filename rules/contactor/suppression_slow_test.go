package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSuppressionSlow(t *testing.T) {
	rule := suppressionSlow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a suppressor", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a plain diode", Replace: suppressed("suppression: diode"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "plain diode of k"}},
		{Name: "with a zener diode", Replace: suppressed("suppression: diode+zener, clamp_V: 24"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a plain diode beside a suppressor", Replace: acrossCoil("k.coil_neg", "k.coil_pos"), Want: ruletest.Want{Verdict: rules.Failed, Message: "plain diode of d"}},
		{Name: "on a small contact it does not matter", Replace: append([]string{"{carry_A: 100,", "{carry_A: 30,"}, suppressed("suppression: diode")...), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "unknown contact", Replace: append([]string{"{carry_A: 100, ", "{"}, suppressed("suppression: diode")...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.carry_A"}},
		// Beside the coil's 24 Ohm: 24 / (24 + R) of the time with a plain diode.
		{Name: "a diode with the coil's own resistance", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a diode with a little less", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "20")), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a diode with a small resistor", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "6")), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "80 % of the time", Fix: "about 24 Ohm"}},
		{Name: "a small resistor on a small contact", Replace: join([]string{"{carry_A: 100,", "{carry_A: 30,"}, suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "6")), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a resistor beside an unknown coil", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{"resistance_Ohm: 24, rise_K", "rise_K"}), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.resistance_Ohm"}},
		{Name: "a small resistor beside a suppressor still conducts first", Replace: rowAcrossCoil("k.coil_neg", "k.coil_pos", "6"), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "no suppression", Replace: suppressed("suppression: none")},
	})
	t.Run("the plain diode of a relay in parallel slows the contactor", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("relays.soft_relay.coil.suppression", `"diode"`,
			"relays.soft_relay.coil.clamp_V", "", "wires.w_coil_contactor.from", `"soft_timer.pos"`)...)
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
}
