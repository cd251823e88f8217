package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInputLow(t *testing.T) {
	rule := inputLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a window above the pack's nominal voltage", Edits: ruletest.Edits("converters.dcdc.input.min_V", "100", "converters.dcdc.input.start_V", "", "converters.dcdc.input.stop_V", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 100, Capability: 96}},
		{Name: "a stiff pack at its cut-off", Want: ruletest.Want{Verdict: rules.Passed, Demand: 60, Capability: 75}},
		{Name: "a pack that may be emptier", Edits: ruletest.Edits("batteries.pack.min_V", "59"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 60, Capability: 59}},
		{Name: "one that stops it", Edits: ruletest.Edits("batteries.pack.min_V", "55"), Want: ruletest.Want{Verdict: rules.Failed}},
		// 4 A over 1 Ohm: from 61 V it stops, and then has 61 V again.
		{Name: "one that it pulls down itself", Edits: ruletest.Edits("batteries.pack.min_V", "61", "batteries.pack.resistance_mOhm", "1000", "converters.dcdc.input.stop_V", ""),
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "resistance not given", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		// A motor takes 100 A from 75 V - 100 A x 0.2 Ohm = 55 V, of twice the typical resistance.
		{Name: "the motor pulls it down", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "100",
			"controllers.drive", `{"min_V": 40, "max_V": 130}`,
			"modes.climb", `{"closed": ["main"], "draw": {"drive": {"current_A": 100}}}`,
			"wires.w60", `{"from": "main.drive_b", "to": "drive.pos", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "drive.neg", "to": "pack.neg", "size": "70 mm2", "length_m": 0.1}`,
			"converters.dcdc.input.stop_V", "50"),
			Want: ruletest.Want{Verdict: rules.Failed, Mode: "everything on", Demand: 60, Capability: 53.7999, Relative: 0.01}},
	})
}
