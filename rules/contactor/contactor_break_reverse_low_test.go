package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorBreakReverseLow(t *testing.T) {
	rule := contactorBreakReverseLow()
	fleetIsSilent(t, rule)
	polarized := []string{"make_A", "polarized: true, reverse_break_A: 10, make_A"}
	runBench(t, rule, []benchCase{
		{name: "without a polarity there is nothing to say", silent: true},
		{name: "nothing flows back", change: polarized, want: want{verdict: rules.Passed}},
		{
			name:   "regeneration does",
			change: append([]string{"current_A: 50", "regen_A: 20"}, polarized...),
			want:   want{verdict: rules.Failed, level: rules.Error, demand: 20, capability: 10, relative: 1e-2},
		},
		{
			name:   "mounted the wrong way up",
			change: append([]string{"to: k.a,", "to: k.b,", "load: {from: k.b,", "load: {from: k.a,"}, polarized...),
			want:   want{verdict: rules.Failed, demand: 50, capability: 10, relative: 1e-6, message: "from b to a"},
		},
		{
			name:   "mounted the wrong way up, with no rating for it",
			change: []string{"to: k.a,", "to: k.b,", "load: {from: k.b,", "load: {from: k.a,", "make_A", "polarized: true, make_A"},
			want:   want{verdict: rules.Failed, level: rules.Error, message: "mounted the wrong way round", fix: "exchange the conductors"},
		},
		{
			name:   "no reverse rating",
			change: []string{"current_A: 50", "regen_A: 20", "make_A", "polarized: true, make_A"},
			want:   want{verdict: rules.NotChecked, missing: "contactors.k.contact.reverse_break_A"},
		},
	})
	t.Run("charging counts", func(t *testing.T) {
		// The charger moved behind the contactor, which the key then has to close.
		got := ruletest.On(t, rule, "badger",
			rules.Edit{Path: "wires.w_charge_pos.to", Value: `"charger.pos"`},
			rules.Edit{Path: "wires.w_charge_pos.from", Value: `"main_contactor.b"`},
			rules.Edit{Path: "contactors.main_contactor.contact.reverse_break_A", Value: "20"},
			rules.Edit{Path: "modes.charging.closed", Value: `["isolator", "key", "stop"]`},
			rules.Edit{Path: "modes.downhill"}, rules.Edit{Path: "controllers.drive.regen_A"})
		r := ruletest.Verdict(t, got, "main_contactor", rules.Failed)
		if r.Mode != "charging" {
			t.Errorf("mode %s: %s", r.Mode, r.Message)
		}
	})
	t.Run("regeneration that no mode declares", func(t *testing.T) {
		got := ruletest.On(t, rule, "badger", rules.Edit{Path: "modes.downhill"}, rules.Edit{Path: "controllers.drive.regen_A", Value: "90"},
			rules.Edit{Path: "contactors.main_contactor.contact.reverse_break_A", Value: "60"})
		if r := ruletest.Verdict(t, got, "main_contactor", rules.Failed); r.Demand.Value != 90 || r.Capability.Value != 60 {
			t.Errorf("%s", r.Message)
		}
	})
}
