package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactChatters(t *testing.T) {
	rule := contactChatters()
	t.Run("a converter that starts through a resistor too weak to carry it", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			ruletest.Edits("resistors.feed", `{"role": "dropper", "resistance_Ohm": 60}`,
				"wires.w_converter_pos.to", `"feed.a"`,
				"wires.feed_b", `{"from": "feed.b", "to": "converter.in_pos", "size": "2.5 mm2", "length_m": 0.3}`)...)
		ruletest.Verdict(t, got, "converter", rules.Failed)
	})
}
