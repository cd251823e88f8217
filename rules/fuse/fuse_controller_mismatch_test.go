package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// 1.25 x 90 A = 112.5 A.
func TestControllerMismatch(t *testing.T) {
	check(t, controllerMismatch(), []expectation{
		{name: "fits", subject: "main", verdict: rules.Passed, demand: 100, capability: 112.5},
		{name: "too large", change: edits{"fuses.main.rated_A": "125"}, subject: "main", verdict: rules.Failed, level: rules.Note},
		{name: "too small", change: edits{"fuses.main.rated_A": "50"}, subject: "main", verdict: rules.Failed, demand: 60, capability: 50},
		{name: "limit unknown", change: edits{"controllers.drive.battery_peak_A": ""}, subject: "main", verdict: rules.NotChecked,
			missing: "controllers.drive.battery_peak_A"},
		{name: "not before a controller", subject: "branch"},
	})
}
