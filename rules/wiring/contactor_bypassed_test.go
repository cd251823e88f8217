package wiring

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorBypassed(t *testing.T) {
	rule := contactorBypassed()
	t.Run("a pre-charge relay in parallel is silent", func(t *testing.T) { ruletest.Silent(t, rule, "heron") })
	t.Run("a relay in series opens it whatever its resistance", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("resistors.soft.resistance_Ohm", "50")...)
	})
	t.Run("a permanent pre-charge is silent", func(t *testing.T) { ruletest.Silent(t, rule, "mole") })
	t.Run("a pre-charge that passes more than an ampere is not", func(t *testing.T) {
		// 58.4 V / 50 Ohm = 1.17 A, without a switch of its own.
		got := ruletest.On(t, rule, "mole", ruletest.Edits("resistors.soft.resistance_Ohm", "50")...)
		r := ruletest.Verdict(t, got, "main_contactor", rules.Failed)
		if want := "raise resistance_Ohm of soft from 50 to at least 59"; !strings.HasPrefix(r.Fix, want) { // 58.4 Ohm pass 1 A
			t.Errorf("fix %q, want %q", r.Fix, want)
		}
	})
	t.Run("a meter across the contact passes next to nothing", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("wires.w_soft_contactor", "", "meters.across", `{"shows": "voltage", "full_scale_V": 100, "max_V": 120}`,
			"wires.x1", `{"from": "main_contactor.a", "to": "across.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.x2", `{"from": "across.neg", "to": "main_contactor.b", "size": "1.5 mm2", "length_m": 0.1}`)...)
		if r := ruletest.Verdict(t, got, "main_contactor", rules.Passed); !strings.Contains(r.Message, "measuring input") {
			t.Errorf("%s", r.Message)
		}
	})
	t.Run("a plain wire around the contact", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("wires.jumper", `{"from": "main_contactor.a", "to": "drive.pos", "size": "2.5 mm2", "length_m": 0.5}`)...)
		r := ruletest.Verdict(t, got, "main_contactor", rules.Failed)
		if want := "main_contactor is bypassed by jumper - w_contactor_drive"; r.Message != want {
			t.Errorf("message %q, want %q", r.Message, want)
		}
	})
}
