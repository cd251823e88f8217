package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPolarityReversed(t *testing.T) {
	rule := polarityReversed()
	t.Run("a filament lamp has no polarity", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("loads.turn_front.kind", `"filament"`,
			"wires.w_turn_front_pos.to", `"turn_front.neg"`,
			"wires.w_turn_front_neg.from", `"turn_front.pos"`)...)
	})
	t.Run("a suppression diode across a coil blocks", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron",
			ruletest.Edits("diodes.d1", `{"continuous_A": 1, "reverse_V": 100}`,
				"wires.d1_a", `{"from": "d1.cathode", "to": "main_contactor.coil_pos", "size": "1.5 mm2", "length_m": 0.05}`,
				"wires.d1_b", `{"from": "d1.anode", "to": "main_contactor.coil_neg", "size": "1.5 mm2", "length_m": 0.05}`)...)
	})
	t.Run("a coil with a diode of its own is a short circuit in reverse", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("contactors.main_contactor.coil.suppression", `"diode"`,
			"wires.w_coil_contactor.to", `"main_contactor.coil_neg"`,
			"wires.w_coil_relay.from", `"main_contactor.coil_neg"`,
			"wires.w_coil_relay_ret.to", `"main_contactor.coil_pos"`,
			"wires.w_coil_ret.from", `"main_contactor.coil_pos"`)...)
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
}
