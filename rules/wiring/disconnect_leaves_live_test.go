package wiring

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectLeavesLive(t *testing.T) {
	rule := disconnectLeavesLive()
	t.Run("one pole may float at the pack's potential", func(t *testing.T) {
		// The mole's disconnect opens the positive pole alone, and every negative
		// terminal stays on the pack: no voltage, so nothing live.
		ruletest.Silent(t, rule, "mole")
	})
	t.Run("a converter before the main contactor is silent", func(t *testing.T) { ruletest.Silent(t, rule, "heron") })
	live := func(load string, more ...rules.Edit) []rules.Edit {
		return append(ruletest.Edits("loads.monitor", load,
			"wires.w_monitor_pos", `{"from": "isolator.a", "to": "monitor.pos", "size": "1.5 mm2", "length_m": 0.2}`,
			"wires.w_monitor_neg", `{"from": "monitor.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.2}`), more...)
	}
	t.Run("a part that must stay on is a pass when it is declared", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", live(`{"kind": "electronic", "power_W": 2, "at_V": 48, "always_live": true}`)...)
		if r := ruletest.Verdict(t, got, "monitor", rules.AsDeclared); len(r.Declared) != 1 {
			t.Errorf("it rests on %v", r.Declared)
		}
	})
	t.Run("the word does not make a heater safe", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", live(`{"kind": "resistive", "power_W": 200, "at_V": 48, "always_live": true}`)...)
		ruletest.Expect(t, got, "monitor", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "heats something with 200 W, limit 5 W"})
	})
	t.Run("nor a radio of 20 W right", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", live(`{"kind": "electronic", "power_W": 20, "at_V": 48, "always_live": true}`)...)
		ruletest.Expect(t, got, "monitor", ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "20 W, limit 5 W"})
	})
	t.Run("nor a converter that feeds a pump", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", append(rule.Example.Edits, ruletest.Edits("converters.converter.always_live", "true")...)...)
		ruletest.Expect(t, got, "converter", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "feeds pump, which moves something with its part of"})
	})
	t.Run("a pre-charge around the disconnect", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", ruletest.Edits("wires.w_soft_in.from", `"isolator.a"`)...)
		if r := ruletest.Verdict(t, got, "drive", rules.Failed); !strings.Contains(r.Message, "through w_soft_in, soft, w_soft_out") {
			t.Error(r.Message)
		}
	})
	t.Run("a wire that bridges the disconnect", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", ruletest.Edits("wires.w_bridge", `{"from": "isolator.a", "to": "isolator.b", "size": "4 mm2", "length_m": 0.1}`)...)
		if r := ruletest.Verdict(t, got, "converter", rules.Failed); !strings.HasSuffix(r.Message, "through w_bridge") || len(r.Related) != 1 {
			t.Error(r.Message, r.Related)
		}
	})
	t.Run("a feed from the wrong side", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", rule.Example.Edits...)
		if r := ruletest.Verdict(t, got, "converter", rules.Failed); !strings.Contains(r.Message, "through b_comb_1") {
			t.Error(r.Message)
		}
	})
	charger := func(pluggable string) []rules.Edit {
		return ruletest.Edits(
			"chargers.charge", `{"max_V": 58.4, "max_A": 10, "isolated": true, "pluggable": `+pluggable+`}`,
			"wires.w_inlet_pos", `{"from": "isolator.a", "to": "charge.pos", "size": "4 mm2", "length_m": 1}`,
			"wires.w_inlet_neg", `{"from": "charge.neg", "to": "pack.neg", "size": "4 mm2", "length_m": 1}`,
		)
	}
	t.Run("an inlet for a charger before the disconnect is a note", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", charger("true")...)
		if r := ruletest.Verdict(t, got, "charge", rules.Failed); r.Level != rules.Note || !strings.Contains(r.Message, "charge: the pins of its inlet stay at 58.4 V") {
			t.Errorf("%s: %s", r.Level, r.Message)
		}
	})
	t.Run("a charger that stays on the vehicle is an error there", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", charger("false")...)
		if r := ruletest.Verdict(t, got, "charge", rules.Failed); r.Level != rules.Error {
			t.Errorf("%s: %s", r.Level, r.Message)
		}
	})
	t.Run("an inlet behind the disconnect is dead", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", append(charger("true"), ruletest.Edits("wires.w_inlet_pos.from", `"isolator.b"`)...)...)
		ruletest.Verdict(t, got, "charge", rules.Passed)
	})
}
