package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// In 20 s main may open at 135 (200/135)^x A with x = ln(20/300)/ln(4/300) =
// 0.6272: 172.7 A. Again and again it bears 0.60 x 0.97 x 172.7 A = 100.5 A.
func TestFatigued(t *testing.T) {
	strong := edits{"controllers.drive.battery_peak_A": "130", "controllers.drive.battery_continuous_A": "130"}
	with := func(current string) edits {
		e := edits{"modes.climb.draw.drive.current_A": current}
		for k, v := range strong {
			e[k] = v
		}
		return e
	}
	check(t, fatigued(), []expectation{
		{name: "far below", subject: "main", verdict: rules.Passed, mode: "climb", demand: 80, capability: 100.5},
		{name: "near", change: with("110"), subject: "main", verdict: rules.Failed, mode: "climb", demand: 110, capability: 100.5},
		{name: "a step of the cycle", subject: "main", verdict: rules.Failed, mode: "climb", demand: 110, capability: 100.5, says: "every 60 s",
			change: edits{"controllers.drive.battery_peak_A": "130", "controllers.drive.battery_continuous_A": "130", "modes.climb.draw.drive.current_A": "110", "cycle": `[{"mode": "climb", "for_s": 20}, {"mode": "off", "for_s": 40}]`}},
		{name: "once", change: edits{"modes.climb.every_s": "", "modes.climb.draw.drive.current_A": "89"}, subject: "main"},
		{name: "follows from opening", change: with("180"), subject: "main", verdict: rules.Failed, primary: "fuse-opens-in-use/main"},
		// 0.60 of a blade's 110 % is 0.64 I_n, less than the 0.776 I_n that it carries
		// continuously: the greater counts.
		{name: "what it carries continuously", change: edits{"modes.house.lasts_s": "20", "modes.house.every_s": "60", "loads.pilot.power_W": "48"},
			subject: "house", verdict: rules.Passed, capability: 3.88},
	})
}
