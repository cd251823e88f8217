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
	})
}
