package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSuppressionReversed(t *testing.T) {
	rule := suppressionReversed()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "without a diode there is nothing to say"},
		{Name: "cathode to the positive end", Replace: acrossCoil("k.coil_neg", "k.coil_pos"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "cathode to the negative end", Replace: acrossCoil("k.coil_pos", "k.coil_neg"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "short circuit"}},
		{Name: "with a resistor, cathode to the positive end", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "with a resistor, cathode to the negative end", // with it the feed leaves 15.925 V: (15.925 V - 0.9 V) / 24 Ohm
			Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_pos", "k.coil_neg", "24")),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "0.6261 A, 9.408 W", Fix: "turn d around"},
		},
		{Name: "with a resistor, beside something that absorbs the energy: it may be there to light", Replace: rowAcrossCoil("k.coil_pos", "k.coil_neg", "2400"), Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "a coil that is fed the other way round",
			Replace: join([]string{"to: k.coil_pos", "to: k.coil_neg", "ret: {from: k.coil_neg", "ret: {from: k.coil_pos"}, acrossCoil("k.coil_pos", "k.coil_neg")),
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "a diode in series with the coil is none across it",
			Replace: []string{"controllers:", "diodes: {d: {forward_V: 0.8}}\ncontrollers:", "  coil: {from: key.p_b,", "  coil0: {from: key.p_b, to: d.anode, size: 1.5 mm2, length_m: 1}\n  coil: {from: d.cathode,"},
		},
	})
	t.Run("coils in parallel share one finding", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", append(ruletest.Edits("wires.w_coil_contactor.from", `"soft_timer.pos"`), rule.Example.Edits...)...)
		if r := ruletest.Verdict(t, got, "soft_relay", rules.Failed); r.Primary != "suppression-reversed/main_contactor" {
			t.Errorf("primary %q", r.Primary)
		}
	})
	t.Run("the shorted coil's low voltage follows from it", func(t *testing.T) {
		shorted := ruletest.Edited(t, "heron", rule.Example.Edits)
		for _, r := range ruletest.Run(t, shorted, []*rules.Rule{rule, coilPullInLow()}) {
			if r.IsFinding() && r.Key() != "suppression-reversed/main_contactor" && r.Primary != "suppression-reversed/main_contactor" {
				t.Errorf("%s: primary %q", r.Key(), r.Primary)
			}
		}
	})
}
