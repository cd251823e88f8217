package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 90 A for 30 s by the controller's limit. Between 135 A in 300 s and 200 A in 4 s
// the fuse may open after 30 s at 135 (200/135)^x A, x = ln(30/300)/ln(4/300) =
// 0.5333, so at 166.5 A; at 40 C 0.97 of that, 161.5 A.
func TestOpensInUse(t *testing.T) {
	fixture.Play(t, opensInUse(), []ruletest.Scene{
		{Name: "rides", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 55.7851, Capability: 97, Message: "in mode everything on"}},
		// At 165 A, 170.1 A at 20 C, it may open after 300 (170.1/135)^-10.98 = 23.7 s from
		// cold; what it holds is 97 A, so tau = 23.7 s / ln(165^2 / (165^2 - 97^2)) = 55.9 s.
		// Cruise at 50 A with the lamp, 55.8 A, leaves ln((165^2 - 55.8^2) / (165^2 - 97^2)) / 0.4240 =
		// 0.714 of that: 30 s are as much as 42.0 s from cold, for which it withstands 156.6 A.
		{Name: "opens, warm from cruising", Edits: ruletest.Edits("controllers.drive.battery_peak_A", "165"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 165, Capability: 156.606}},
		// The brake's 165 A are as much as the drive's.
		{Name: "fed back at the controller's limit, which no mode states", Edits: ruletest.Edits("controllers.drive.regen_A", "165"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed,
			Demand: 165, Capability: 156.606, Message: "in the regeneration of drive"}},
		{Name: "fed back for a time that is not stated", Edits: ruletest.Edits("controllers.drive.regen_A", "165", "controllers.drive.peak_s", ""), Subject: "main",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.peak_s"}},
		{Name: "fed back, but less than it draws", Edits: ruletest.Edits("controllers.drive.regen_A", "80"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Demand: 55.7851}},
		{Name: "the same, warm from what its limit allows continuously", Edits: ruletest.Edits("controllers.drive.battery_peak_A", "165", "modes.cruise", "", "modes.climb", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Demand: 169.149, Capability: 153.961}},
		// A climb of 180 A for 20 s of 200 s with 55.8 A between, tau 26.5 s: it begins as
		// warm as 56 A make it, with 0.703 of its time left, so 28.4 s from cold: 162.3 A.
		{Name: "mode", Edits: ruletest.Edits("modes.climb.draw.drive.current_A", "180"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "climb", Demand: 180, Capability: 162.289}},
		// The declared cycle, two climbs of 155 A with a breath between: tau 94.7 s. Each by
		// itself it would ride, up to 167.6 A for 20 s; the second begins as warm as 82.7 A
		// make it, with 0.326 of its time left: 20 s are as much as 61 s from cold.
		{Name: "a step of the cycle, warm from the one before", Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "climb", Demand: 155, Capability: 151.29},
			Edits: ruletest.Edits("modes.climb.draw.drive.current_A", "155", "cycle", `[{"mode": "climb", "for_s": 20}, {"mode": "cruise", "for_s": 20}, {"mode": "climb", "for_s": 20}, {"mode": "cruise", "for_s": 150}]`)},
		{Name: "continuous belongs to overload", Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "120", "controllers.drive.battery_continuous_A", "120", "controllers.drive.battery_peak_A", "120"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuse-overloaded/main"}},
		// ISO 8820-3: a blade carries 110 % for ever, so 5.5 A x 0.97 = 5.335 A.
		{Name: "gate of a blade", Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Capability: 5.335}},
		{Name: "peak without a duration", Edits: ruletest.Edits("controllers.drive.peak_s", "", "controllers.drive.battery_peak_A", "150"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.peak_s"}},
		{Name: "peak that needs none", Edits: ruletest.Edits("controllers.drive.peak_s", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no curve", Edits: ruletest.Edits("fuses.main.class", `"aR"`, "fuses.main.opening", "", "fuses.main.min_breaking_A", "400"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.opening"}},
		{Name: "shortest times unknown", Edits: ruletest.Edits("fuses.main.class", `"ul"`, "fuses.main.opening.min", "", "controllers.drive.battery_peak_A", "130"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.opening.min"}},
		// A stalled motor of 15 A for 0.5 s: at 15 A the branch fuse holds 2 s and more.
		{Name: "motor start", Edits: ruletest.Edits("loads.lamp.kind", `"motor"`, "loads.lamp.stall_A", "15"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "motor start too high", Edits: ruletest.Edits("loads.lamp.kind", `"motor"`, "loads.lamp.stall_A", "60"),
			Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Message: "while lamp starts"}},
		// 56 V over 1 Ohm at the first instant, for the 3 s until the contactor closes.
		// 5.8 A of the lamp, and 60 A for 0.2 s until the economiser turns down to 0.2 A.
		{Name: "a coil with an economiser pulls in", Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 65.6, Relative: 0.01, Message: "while k pulls in for 0.2 s"}, Edits: ruletest.Edits(
			"contactors.k", `{"contact": {"carry_A": 10}, "coil": {"nominal_V": 48, "drive": "economiser", "pickup_A": 60, "pickup_s": 0.2, "hold_A": 0.2}}`,
			"wires.w_k", `{"from": "branch.b", "to": "k.coil_pos", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"wires.w_k_neg", `{"from": "k.coil_neg", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		)},
		{Name: "pre-charge", Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 56, Message: "while soft pre-charges"}, Edits: ruletest.Edits(
			"modes.press", `{"closed": ["start"], "lasts_s": 0.001}`,
			"resistors.soft", `{"role": "precharge", "resistance_Ohm": 1}`,
			"wires.w_soft", `{"from": "branch.b", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"switches.start", `{"role": "other", "poles": {"p": {"carry_A": 60}}}`,
			"wires.w_start", `{"from": "soft.b", "to": "start.p_a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"wires.w_soft_neg", `{"from": "start.p_b", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
			"contactors.k1", `{"contact": {"carry_A": 10}, "coil": {"nominal_V": 48}, "closes_after_s": 3, "spare": true}`,
		)},
	})
}
