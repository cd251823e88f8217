package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestTerminalUnconnected(t *testing.T) {
	rule := terminalUnconnected()
	ruletest.Example(t, rule)
	t.Run("a spare part is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", rules.Edit{Path: "fuses.spare_fuse", Value: `{"class": "blade", "rated_A": 5, "spare": true}`})
	})
	t.Run("an unused pole of a switch is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", rules.Edit{Path: "switches.turn_switch.poles.second", Value: `{"carry_A": 5}`})
	})
	t.Run("a part left out altogether is named once", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", rules.Edit{Path: "loads.forgotten", Value: `{"kind": "led", "power_W": 5, "at_V": 13.2}`})
		r := ruletest.Verdict(t, got, "forgotten", rules.Failed)
		if want := "forgotten: no conductor ends on forgotten.pos, forgotten.neg"; r.Message != want {
			t.Errorf("message %q, want %q", r.Message, want)
		}
	})
}
