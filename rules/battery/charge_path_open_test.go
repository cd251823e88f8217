package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargePathOpen(t *testing.T) {
	rule := chargePathOpen()
	// The fixture's charger of 40 A, behind 470 Ohm beside an open contact.
	behind := func(more ...string) []rules.Edit {
		return ruletest.Edits(append([]string{
			"switches.gate", `{"role": "other", "poles": {"p": {"carry_A": 100}}}`,
			"resistors.soft", `{"role": "precharge", "resistance_Ohm": 470}`,
			"wires.w7.to", `"gate.p_b"`,
			"wires.g1", `{"from": "gate.p_a", "to": "charger.pos", "size": "10 mm2", "length_m": 0.1}`,
			"wires.g2", `{"from": "gate.p_a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.05}`,
			"wires.g3", `{"from": "soft.b", "to": "gate.p_b", "size": "2.5 mm2", "length_m": 0.05}`}, more...)...)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "on the battery", Subject: "charger", Want: ruletest.Want{Verdict: rules.Passed, Mode: "charging"}},
		{Name: "behind an open contact", Subject: "charger", Edits: behind(),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "charging", Fix: "battery's side of gate"}},
		{Name: "which the mode closes", Subject: "charger", Edits: behind("modes.charging.closed", `["gate"]`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no mode connects it", Subject: "charger", Edits: ruletest.Edits("modes.charging", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a mode that connects charger"}},
		{Name: "a spare", Subject: "charger", Edits: ruletest.Edits("chargers.charger.spare", "true")},
	})
}
