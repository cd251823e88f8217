package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSuppressionReversed(t *testing.T) {
	rule := suppressionReversed()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "without a diode there is nothing to say", silent: true},
		{name: "cathode to the positive end", change: acrossCoil("k.coil_neg", "k.coil_pos"), want: want{verdict: rules.Passed}},
		{name: "cathode to the negative end", change: acrossCoil("k.coil_pos", "k.coil_neg"), want: want{verdict: rules.Failed, level: rules.Error, message: "short circuit"}},
		{name: "with a resistor, cathode to the positive end", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), want: want{verdict: rules.Passed}},
		{
			name:   "with a resistor, cathode to the negative end", // with it the feed leaves 15.925 V: (15.925 V - 0.9 V) / 24 Ohm
			change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_pos", "k.coil_neg", "24")),
			want:   want{verdict: rules.Failed, level: rules.Error, message: "0.6261 A, 9.408 W", fix: "turn d round"},
		},
		{name: "with a resistor, beside something that takes the energy: it may be there to light", change: rowAcrossCoil("k.coil_pos", "k.coil_neg", "2400"), want: want{verdict: rules.Passed}},
		{
			name:   "a coil that is fed the other way round",
			change: join([]string{"to: k.coil_pos", "to: k.coil_neg", "ret: {from: k.coil_neg", "ret: {from: k.coil_pos"}, acrossCoil("k.coil_pos", "k.coil_neg")),
			want:   want{verdict: rules.Passed},
		},
		{
			name:   "a diode in series with the coil is none across it",
			change: []string{"controllers:", "diodes: {d: {forward_V: 0.8}}\ncontrollers:", "  coil: {from: key.p_b,", "  coil0: {from: key.p_b, to: d.anode, size: 1.5 mm2, length_m: 1}\n  coil: {from: d.cathode,"},
			silent: true,
		},
	})
	t.Run("coils in parallel share one finding", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", rule.Example.Edits...)
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
