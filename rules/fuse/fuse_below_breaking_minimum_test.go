package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// The least short circuit that main has to clear is at the far end of its
// longest conductor with no other fuse between: 1247.9 A at the controller, as
// in TestFarFaultSlow, and 1252 A and less at the other ends.
func TestBelowBreakingMinimum(t *testing.T) {
	partial := func(more edits) edits {
		e := edits{"fuses.main.class": `"aR"`, "fuses.main.min_breaking_A": "600", "fuses.main.overload_protection_by": `"drive"`}
		for k, v := range more {
			e[k] = v
		}
		return e
	}
	check(t, belowBreakingMinimum(), []expectation{
		{name: "clears", change: partial(nil), subject: "main", verdict: rules.Passed, demand: 600},
		{name: "too small a fault", change: partial(edits{"fuses.main.min_breaking_A": "1300"}), subject: "main", verdict: rules.Failed, demand: 1300},
		{name: "continuous between rating and least", change: partial(edits{"modes.cruise.draw.drive.current_A": "150",
			"controllers.drive.battery_continuous_A": "150", "controllers.drive.battery_peak_A": "150"}), subject: "main", verdict: rules.Failed,
			mode: "cruise", says: "between its rating"},
		{name: "peak that it rides", change: partial(edits{"controllers.drive.battery_peak_A": "130"}), subject: "main", verdict: rules.Passed},
		{name: "peak that melts it", change: partial(edits{"controllers.drive.battery_peak_A": "250"}), subject: "main", verdict: rules.Failed},
		{name: "least current unknown", change: edits{"fuses.main.class": `"aR"`}, subject: "main", verdict: rules.NotChecked, missing: "fuses.main.min_breaking_A"},
		{name: "full range", subject: "main"},
		// 20 m of 0.5 mm2 leave 40 V / 0.84 Ohm = 48 A of the short circuit, but it
		// is its own fuse at the shunt that has to clear that.
		{name: "at the end of a sense lead", change: partial(edits{
			"shunts.shunt":         `{"rated_A": 200, "drop_mV": 50}`,
			"meters.meter":         `{"shows": "current", "shunt": "shunt"}`,
			"wires.w_drive_neg.to": `"shunt.b"`,
			"wires.w_shunt":        `{"from": "shunt.a", "to": "pack.neg", "size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"wires.w_sense_a":      `{"from": "shunt.sense_a", "to": "meter.sense_a", "size": "0.5 mm2", "length_m": 20, "insulation": {"max_C": 90}}`,
			"wires.w_sense_b":      `{"from": "shunt.sense_b", "to": "meter.sense_b", "size": "0.5 mm2", "length_m": 20, "insulation": {"max_C": 90}}`,
		}), subject: "main", verdict: rules.Passed, demand: 600},
	})
}
