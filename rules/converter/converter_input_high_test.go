package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInputHigh(t *testing.T) {
	rule := inputHigh()
	charger := func(volts string) []rules.Edit {
		return ruletest.Edits("chargers.plug", `{"max_V": `+volts+`, "max_A": 10, "isolated": true, "pluggable": true}`,
			"wires.w60", `{"from": "plug.pos", "to": "main.drive_b", "size": "4 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "plug.neg", "to": "pack.neg", "size": "4 mm2", "length_m": 0.1}`)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the end of charge", Want: ruletest.Want{Verdict: rules.Passed, Demand: 109.5, Capability: 140}},
		{Name: "not the nominal voltage", Edits: ruletest.Edits("converters.dcdc.input.max_V", "100"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 109.5, Capability: 100}},
		{Name: "a charger that goes on when the battery disconnects", Edits: charger("145"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 145, Capability: 140}},
		{Name: "a charger that does not", Edits: charger("110"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 110, Capability: 140}},
		// 40 A fed back into 109.5 V behind 0.5 Ohm raise it by 20 V.
		{Name: "regeneration into a full pack", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "500", "converters.dcdc.input.max_V", "125",
			"controllers.drive", `{"min_V": 40, "max_V": 150, "regen_A": 40}`,
			"modes.down", `{"closed": ["main"], "draw": {"drive": {"regen_A": 40}}}`,
			"wires.w60", `{"from": "main.drive_b", "to": "drive.pos", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "drive.neg", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "down", Demand: 129.5, Capability: 125, Relative: 0.01}},
	})
}
