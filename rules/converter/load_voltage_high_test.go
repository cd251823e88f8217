package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLoadVoltageHigh(t *testing.T) {
	rule := loadVoltageHigh()
	pilot := func(max string) []rules.Edit {
		return ruletest.Edits("loads.pilot", `{"kind": "filament", "power_W": 5, "at_V": 96, "max_V": `+max+`}`, "modes.night.on", `["pilot"]`,
			"wires.w60", `{"from": "main.drive_b", "to": "pilot.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "pilot.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "on the converter", Subject: "electronics", Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.5, Capability: 16, Relative: 5e-3}},
		{Name: "on the pack the end of charge counts", Edits: pilot("100"), Subject: "pilot", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 109.5, Capability: 100}},
		{Name: "and is borne", Edits: pilot("120"), Subject: "pilot", Want: ruletest.Want{Verdict: rules.Passed, Demand: 109.5, Capability: 120}},
		{Name: "the battery's charging voltage counts", Edits: auxiliary(ruletest.Edits("loads.electronics.max_V", "14")), Subject: "electronics", Want: ruletest.Want{Verdict: rules.Failed, Demand: 14.4, Capability: 14, Relative: 0.03}},
		{Name: "not given", Edits: ruletest.Edits("loads.electronics.max_V", ""), Subject: "electronics", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "loads.electronics.max_V"}},
	})
}
