package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectLeavesLive(t *testing.T) {
	rule := disconnectLeavesLive()
	ruletest.Example(t, rule)
	t.Run("one pole may float at the pack's potential", func(t *testing.T) {
		// The mole's disconnect opens the positive pole alone, and every negative
		// terminal stays on the pack: no voltage, so nothing live.
		ruletest.Silent(t, rule, "mole")
	})
	t.Run("a converter before the main contactor is silent", func(t *testing.T) { ruletest.Silent(t, rule, "heron") })
	t.Run("a part that must stay on is a pass when it is declared", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", append(rule.Example.Edits, rules.Edit{Path: "converters.converter.always_live", Value: "true"})...)
		ruletest.Verdict(t, got, "converter", rules.Passed)
	})
	t.Run("a pre-charge round the disconnect", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", rules.Edit{Path: "wires.w_soft_in.from", Value: `"isolator.a"`})
		ruletest.Verdict(t, got, "drive", rules.Failed)
	})
}
