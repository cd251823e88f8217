package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The least short circuit that main has to clear is at the far end of its
// longest conductor with no other fuse between: 1247.9 A at the controller, as
// in TestFarFaultSlow, and 1252 A and less at the other ends.
func TestBelowBreakingMinimum(t *testing.T) {
	partial := func(more []rules.Edit) []rules.Edit {
		return append(ruletest.Edits("fuses.main.class", `"aR"`, "fuses.main.min_breaking_A", "600", "fuses.main.overload_protection_by", `"drive"`), more...)
	}
	fixture.Play(t, belowBreakingMinimum(), []ruletest.Scene{
		{Name: "clears", Edits: partial(nil), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 600}},
		{Name: "too small a fault", Edits: partial(ruletest.Edits("fuses.main.min_breaking_A", "1300")), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 1300, Fix: "minimum breaking current of at most 758 A"}},
		{Name: "continuous between rating and least", Edits: partial(ruletest.Edits("modes.cruise.draw.drive.current_A", "150",
			"controllers.drive.battery_continuous_A", "150", "controllers.drive.battery_peak_A", "150")), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed,
			Mode: "cruise", Message: "below its minimum breaking current of 600 A"}},
		{Name: "peak that it rides", Edits: partial(ruletest.Edits("controllers.drive.battery_peak_A", "130")), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "peak that melts it", Edits: partial(ruletest.Edits("controllers.drive.battery_peak_A", "250")), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "least current unknown", Edits: ruletest.Edits("fuses.main.class", `"aR"`), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.min_breaking_A"}},
		{Name: "full range", Subject: "main"},
		// 20 m of 0.5 mm2 leave 40 V / 0.84 Ohm = 48 A of the short circuit, but it
		// is its own fuse at the shunt that has to clear that.
		{Name: "at the end of a sense lead", Edits: partial(ruletest.Edits(
			"shunts.shunt", `{"rated_A": 200, "drop_mV": 50}`,
			"meters.meter", `{"shows": "current", "shunt": "shunt"}`,
			"wires.w_drive_neg.to", `"shunt.b"`,
			"wires.w_shunt", `{"from": "shunt.a", "to": "pack.neg", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"wires.w_sense_a", `{"from": "shunt.sense_a", "to": "meter.sense_a", "size": "0.5 mm2", "length_m": 20, "insulation": {"max_C": 90}}`,
			"wires.w_sense_b", `{"from": "shunt.sense_b", "to": "meter.sense_b", "size": "0.5 mm2", "length_m": 20, "insulation": {"max_C": 90}}`,
		)), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 600}},
	})
}
