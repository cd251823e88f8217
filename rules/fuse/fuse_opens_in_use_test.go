package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// 90 A for 30 s by the controller's limit. Between 135 A in 300 s and 200 A in 4 s
// the fuse may open after 30 s at 135 (200/135)^x A, x = ln(30/300)/ln(4/300) =
// 0.5333, so at 166.5 A; at 40 C 0.97 of that, 161.5 A.
func TestOpensInUse(t *testing.T) {
	check(t, opensInUse(), []expectation{
		{name: "rides", subject: "main", verdict: rules.Passed, demand: 90, capability: 161.5, says: "peak of drive"},
		// At 165 A, 170.1 A at 20 C, it may open after 300 (170.1/135)^-10.98 = 23.7 s from
		// cold; what it holds is 97 A, so tau = 23.7 s / ln(165^2 / (165^2 - 97^2)) = 55.9 s.
		// Cruise at 50 A leaves ln((165^2 - 50^2) / (165^2 - 97^2)) / 0.4240 = 0.7728 of that:
		// 30 s are as much as 38.8 s from cold, for which it bears 162.6 A x 0.97 = 157.7 A.
		{name: "opens, warm from cruising", change: edits{"controllers.drive.battery_peak_A": "165"}, subject: "main", verdict: rules.Failed, demand: 165, capability: 157.74},
		// The brake's 165 A are as much as the drive's.
		{name: "fed back at the controller's limit, which no mode states", change: edits{"controllers.drive.regen_A": "165"}, subject: "main", verdict: rules.Failed,
			demand: 165, capability: 157.74, says: "in the regeneration of drive"},
		{name: "fed back for a time that is not stated", change: edits{"controllers.drive.regen_A": "165", "controllers.drive.peak_s": ""}, subject: "main",
			verdict: rules.NotChecked, missing: "controllers.drive.peak_s"},
		{name: "fed back, but less than it draws", change: edits{"controllers.drive.regen_A": "80"}, subject: "main", verdict: rules.Passed, demand: 90},
		{name: "the same from cold", change: edits{"controllers.drive.battery_peak_A": "165", "modes.cruise": "", "modes.climb": ""}, subject: "main", verdict: rules.Failed, demand: 165, capability: 161.5},
		// A climb of 180 A for 20 s of 200 s with 50 A between, tau 26.5 s: it begins as
		// warm as 50.2 A make it, with 0.764 of 20 s left, so 26.2 s from cold: 163.5 A.
		{name: "mode", change: edits{"modes.climb.draw.drive.current_A": "180"}, subject: "main", verdict: rules.Failed, mode: "climb", demand: 180, capability: 163.5},
		// The declared cycle, two climbs of 155 A with a breath between: tau 94.7 s. Each by
		// itself it would ride, up to 167.6 A for 20 s; the second begins as warm as 82.7 A
		// make it, with 0.326 of its time left: 20 s are as much as 61 s from cold.
		{name: "a step of the cycle, warm from the one before", subject: "main", verdict: rules.Failed, mode: "climb", demand: 155, capability: 151.29,
			change: edits{"modes.climb.draw.drive.current_A": "155", "cycle": `[{"mode": "climb", "for_s": 20}, {"mode": "cruise", "for_s": 20}, {"mode": "climb", "for_s": 20}, {"mode": "cruise", "for_s": 150}]`}},
		{name: "continuous belongs to overload", change: edits{"modes.cruise.draw.drive.current_A": "120", "controllers.drive.battery_continuous_A": "120", "controllers.drive.battery_peak_A": "120"},
			subject: "main", verdict: rules.Failed, primary: "fuse-overloaded/main"},
		// ISO 8820-3: a blade carries 110 % for ever, so 5.5 A x 0.97 = 5.335 A.
		{name: "gate of a blade", subject: "house", verdict: rules.Passed, capability: 5.335},
		{name: "peak without a duration", change: edits{"controllers.drive.peak_s": "", "controllers.drive.battery_peak_A": "150"},
			subject: "main", verdict: rules.NotChecked, missing: "controllers.drive.peak_s"},
		{name: "peak that needs none", change: edits{"controllers.drive.peak_s": ""}, subject: "main", verdict: rules.Passed},
		{name: "no curve", change: edits{"fuses.main.class": `"aR"`, "fuses.main.opening": "", "fuses.main.min_breaking_A": "400"},
			subject: "main", verdict: rules.NotChecked, missing: "fuses.main.opening"},
		{name: "shortest times unknown", change: edits{"fuses.main.class": `"ul"`, "fuses.main.opening.min": "", "controllers.drive.battery_peak_A": "130"},
			subject: "main", verdict: rules.NotChecked, missing: "fuses.main.opening.min"},
		// A stalled motor of 15 A for 0.5 s: at 15 A the branch fuse holds 2 s and more.
		{name: "motor start", change: edits{"loads.lamp.kind": `"motor"`, "loads.lamp.stall_A": "15"}, subject: "branch", verdict: rules.Passed},
		{name: "motor start too high", change: edits{"loads.lamp.kind": `"motor"`, "loads.lamp.stall_A": "60"},
			subject: "branch", verdict: rules.Failed, demand: 60, says: "while lamp starts"},
		// 56 V over 1 Ohm at the first instant, for the 3 s until the contactor closes.
		{name: "pre-charge", subject: "branch", verdict: rules.Failed, demand: 56, says: "while soft pre-charges", change: edits{
			"resistors.soft":   `{"role": "precharge", "resistance_Ohm": 1}`,
			"wires.w_soft":     `{"from": "branch.b", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"switches.start":   `{"role": "other", "poles": {"p": {"carry_A": 60}}}`,
			"wires.w_start":    `{"from": "soft.b", "to": "start.p_a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"wires.w_soft_neg": `{"from": "start.p_b", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"contactors.k1":    `{"contact": {"carry_A": 10}, "coil": {"nominal_V": 48}, "closes_after_s": 3, "spare": true}`,
		}},
	})
}
