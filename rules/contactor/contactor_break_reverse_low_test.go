package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
)

func TestContactorBreakReverseLow(t *testing.T) {
	rule := contactorBreakReverseLow()
	polarized := []string{"make_A", "polarized: true, reverse_break_A: 10, make_A"}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "without a polarity there is nothing to say"},
		{Name: "nothing flows back", Replace: polarized, Want: ruletest.Want{Verdict: rules.Passed}},
		{
			Name:    "regeneration does",
			Replace: append([]string{"current_A: 50", "regen_A: 20"}, polarized...),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 20, Capability: 10, Relative: 1e-2},
		},
		{
			Name:    "mounted the wrong way up",
			Replace: append([]string{"to: k.a,", "to: k.b,", "load: {from: k.b,", "load: {from: k.a,"}, polarized...),
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 50, Capability: 10, Relative: 1e-6, Message: "from b to a"},
		},
		{
			Name:    "mounted the wrong way up, with no rating for it",
			Replace: []string{"to: k.a,", "to: k.b,", "load: {from: k.b,", "load: {from: k.a,", "make_A", "polarized: true, make_A"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "connected the wrong way around", Fix: "swap the conductors"},
		},
		{
			Name:    "no reverse rating",
			Replace: []string{"current_A: 50", "regen_A: 20", "make_A", "polarized: true, make_A"},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.reverse_break_A"},
		},
	})
	t.Run("charging counts", func(t *testing.T) {
		// The charger moved behind the contactor, which the key then has to close.
		got := ruletest.On(t, rule, "badger",
			ruletest.Edits("wires.w_charge_pos.to", `"charger.pos"`,
				"wires.w_charge_pos.from", `"main_contactor.b"`,
				"contactors.main_contactor.contact.reverse_break_A", "20",
				"modes.charging.closed", `["isolator", "key", "stop"]`,
				"modes.downhill", "", "controllers.drive.regen_A", "")...)
		r := ruletest.Verdict(t, got, "main_contactor", rules.Failed)
		if r.Mode != circuit.EverythingCharging {
			t.Errorf("mode %s: %s", r.Mode, r.Message)
		}
	})
	t.Run("regeneration that no mode declares", func(t *testing.T) {
		got := ruletest.On(t, rule, "badger", ruletest.Edits("modes.downhill", "", "controllers.drive.regen_A", "90",
			"contactors.main_contactor.contact.reverse_break_A", "60")...)
		if r := ruletest.Verdict(t, got, "main_contactor", rules.Failed); r.Demand.Value != 90 || r.Capability.Value != 60 {
			t.Errorf("%s", r.Message)
		}
	})
}
