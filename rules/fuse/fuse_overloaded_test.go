package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// Bolt-down at 40 C: 0.80 x (1 - 0.002 x 15) x 100 A = 77.6 A. The climb, 80 A for
// 20 s of 200 s over a cruise at 50 A: sqrt((6400 x 20 + 2500 x 180)/200) = 53.76 A.
func TestOverloaded(t *testing.T) {
	check(t, overloaded(), []expectation{
		{name: "cycle", subject: "main", verdict: rules.Passed, mode: "climb", demand: 53.76, capability: 77.6, headroom: 77.6 / 53.76},
		{name: "continuous", change: edits{"modes.cruise.draw.drive.current_A": "79", "controllers.drive.battery_continuous_A": "85"}, subject: "main", verdict: rules.Failed, mode: "climb"},
		{name: "no cycle", change: edits{"modes.climb": ""}, subject: "main", verdict: rules.Passed, mode: "cruise", demand: 50},
		{name: "once is not continuously", change: edits{"modes.climb.every_s": ""}, subject: "main", verdict: rules.Passed, mode: "cruise", demand: 50},
		{name: "ten minutes are", change: edits{"modes.climb.lasts_s": "700", "modes.climb.every_s": "1400"},
			subject: "main", verdict: rules.Failed, mode: "climb", demand: 80},
		// 48 V x 48 V / 230.4 W = 10 Ohm: at a full pack 5.6 A less the drop, on the
		// 0.80 x 0.97 x 10 A = 7.76 A of branch.
		{name: "resistive load at a full pack", subject: "branch", verdict: rules.Passed, mode: "light", capability: 7.76},
		// 13.8 W behind 58 mOhm at 13.8 V: 1.004 A of 0.80 x 0.97 x 5 A = 3.88 A.
		{name: "blade", subject: "house", verdict: rules.Passed, mode: "house", demand: 1.004, capability: 3.88},
		{name: "hotter air", change: edits{"vehicle.ambient_C": `{"min": -10, "max": 65}`, "modes.climb": ""}, subject: "main", verdict: rules.Passed, capability: 73.6},
		{name: "a mode in cooler air", change: edits{"vehicle.ambient_C": `{"min": -10, "max": 65}`, "modes.cruise.ambient_C": "25", "modes.climb": ""}, subject: "main", verdict: rules.Passed, capability: 80},
		{name: "hotter place", change: edits{"zones.bay": `{"rise_K": 25}`, "fuses.main.zone": `"bay"`}, subject: "main", verdict: rules.Passed, capability: 73.6},
		{name: "class without a rule", change: edits{"fuses.main.class": `"other"`}, subject: "main", verdict: rules.NotChecked, missing: "fuses.main.class"},
		// The declared cycle, whatever lasts_s says: sqrt((6400 x 60 + 2500 x 40) / 100) = 69.57 A.
		{name: "declared cycle", change: edits{"cycle": `[{"mode": "climb", "for_s": 60}, {"mode": "cruise", "for_s": 40}]`}, subject: "main", verdict: rules.Passed, mode: "climb", demand: 69.57, capability: 77.6, says: "the mean of the cycle"},
		// A step of ten minutes counts by itself.
		{name: "a long step of it", change: edits{"cycle": `[{"mode": "climb", "for_s": 700}, {"mode": "off", "for_s": 2000}]`}, subject: "main", verdict: rules.Failed, mode: "climb", demand: 80},
		{name: "no modes", change: edits{"modes": ""}, subject: "main", verdict: rules.NotChecked, missing: "modes"},
	})
}

// Traps: gG and aR links bear their whole rating; a peak that lacks a duration
// is neither continuous nor passed over.
func TestOverloadedStaysSilent(t *testing.T) {
	check(t, overloaded(), []expectation{
		{name: "gG to its rating", change: edits{"fuses.main.class": `"gG"`, "fuses.main.rated_A": "63", "fuses.main.opening": ""},
			subject: "main", verdict: rules.Passed, capability: 63},
		{name: "gG derates above 40 C", change: edits{"fuses.main.class": `"gG"`, "fuses.main.rated_A": "63", "fuses.main.opening": "", "vehicle.ambient_C.max": "60"},
			subject: "main", verdict: rules.Passed, capability: 63 * 0.9},
		{name: "peak without a duration", change: edits{"modes.climb.lasts_s": "", "modes.climb.every_s": ""},
			subject: "main", verdict: rules.NotChecked, missing: "modes.climb.lasts_s"},
		{name: "peak within what it bears", change: edits{"modes.climb.lasts_s": "", "modes.climb.every_s": "", "modes.climb.draw.drive.current_A": "70"},
			subject: "main", verdict: rules.Passed, mode: "cruise", demand: 50},
		{name: "a load that is only briefly on", change: edits{"loads.lamp.on_s": "20", "loads.lamp.power_W": "360"},
			subject: "branch", verdict: rules.Passed},
		{name: "the same continuously", change: edits{"loads.lamp.power_W": "360"}, subject: "branch", verdict: rules.Failed, mode: "light"},
	})
}
