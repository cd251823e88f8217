package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPolarityReversed(t *testing.T) {
	rule := polarityReversed()
	ruletest.Example(t, rule)
	t.Run("a filament lamp has no polarity", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", rules.Edit{Path: "loads.turn_front.kind", Value: `"filament"`},
			rules.Edit{Path: "wires.w_turn_front_pos.to", Value: `"turn_front.neg"`},
			rules.Edit{Path: "wires.w_turn_front_neg.from", Value: `"turn_front.pos"`})
	})
	t.Run("a suppression diode across a coil blocks", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron",
			rules.Edit{Path: "diodes.d1", Value: `{"continuous_A": 1, "reverse_V": 100}`},
			rules.Edit{Path: "wires.d1_a", Value: `{"from": "d1.cathode", "to": "main_contactor.coil_pos", "size": "1.5 mm2", "length_m": 0.05}`},
			rules.Edit{Path: "wires.d1_b", Value: `{"from": "d1.anode", "to": "main_contactor.coil_neg", "size": "1.5 mm2", "length_m": 0.05}`})
	})
	t.Run("a coil with a diode of its own is a short circuit in reverse", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", rules.Edit{Path: "contactors.main_contactor.coil.suppression", Value: `"diode"`},
			rules.Edit{Path: "wires.w_coil_contactor.to", Value: `"main_contactor.coil_neg"`},
			rules.Edit{Path: "wires.w_coil_relay.from", Value: `"main_contactor.coil_neg"`},
			rules.Edit{Path: "wires.w_coil_relay_ret.to", Value: `"main_contactor.coil_pos"`},
			rules.Edit{Path: "wires.w_coil_ret.from", Value: `"main_contactor.coil_pos"`})
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
}
