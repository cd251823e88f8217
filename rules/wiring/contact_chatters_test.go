package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactChatters(t *testing.T) {
	rule := contactChatters()
	ruletest.Example(t, rule)
	t.Run("a converter that starts through a resistor too weak to carry it", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			rules.Edit{Path: "resistors.feed", Value: `{"role": "dropper", "resistance_Ohm": 60}`},
			rules.Edit{Path: "wires.w_converter_pos.to", Value: `"feed.a"`},
			rules.Edit{Path: "wires.feed_b", Value: `{"from": "feed.b", "to": "converter.in_pos", "size": "2.5 mm2", "length_m": 0.3}`})
		ruletest.Verdict(t, got, "converter", rules.Failed)
	})
}
