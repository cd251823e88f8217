package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Bolt-down at 40 C: 0.80 x (1 - 0.002 x 15) x 100 A = 77.6 A. The climb, 80 A for
// 20 s of 200 s over a cruise at 50 A: sqrt((6400 x 20 + 2500 x 180)/200) = 53.76 A.
func TestOverloaded(t *testing.T) {
	fixture.Play(t, overloaded(), []ruletest.Scene{
		{Name: "cycle", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Mode: "climb", Demand: 58.6581, Capability: 77.6, Headroom: 1.32292}},
		{Name: "continuous", Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "79", "controllers.drive.battery_continuous_A", "85"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "everything on"}},
		{Name: "no cycle", Edits: ruletest.Edits("modes.climb", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on", Demand: 55.7851}},
		{Name: "once is not continuously", Edits: ruletest.Edits("modes.climb.every_s", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on", Demand: 55.7851}},
		{Name: "ten minutes are", Edits: ruletest.Edits("modes.climb.lasts_s", "700", "modes.climb.every_s", "1400"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "climb", Demand: 80}},
		// 48 V x 48 V / 230.4 W = 10 Ohm: at a full pack 5.6 A less the drop, on the
		// 0.80 x 0.97 x 10 A = 7.76 A of branch.
		{Name: "resistive load at a full pack", Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on", Capability: 7.76}},
		// 13.8 W behind 58 mOhm at 13.8 V: 1.004 A of 0.80 x 0.97 x 5 A = 3.88 A.
		{Name: "blade", Subject: "house", Want: ruletest.Want{Verdict: rules.Passed, Mode: "house", Demand: 1.004, Capability: 3.88}},
		{Name: "hotter air", Edits: ruletest.Edits("vehicle.ambient_C", `{"min": -10, "max": 65}`, "modes.climb", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Capability: 73.6}},
		{Name: "a mode in cooler air", Edits: ruletest.Edits("vehicle.ambient_C", `{"min": -10, "max": 65}`, "modes.cruise.ambient_C", "25", "modes.climb", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Capability: 80}},
		{Name: "hotter place", Edits: ruletest.Edits("zones.bay", `{"rise_K": 25}`, "fuses.main.zone", `"bay"`), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Capability: 73.6}},
		{Name: "class without a rule", Edits: ruletest.Edits("fuses.main.class", `"other"`), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.class"}},
		// The declared cycle, whatever lasts_s says: sqrt((6400 x 60 + 2500 x 40) / 100) = 69.57 A.
		{Name: "declared cycle", Edits: ruletest.Edits("cycle", `[{"mode": "climb", "for_s": 60}, {"mode": "cruise", "for_s": 40}]`), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Mode: "climb", Demand: 69.57, Capability: 77.6, Message: "69.57 A rms over the cycle, continuous limit 77.6 A (100 A fuse)"}},
		// A step of ten minutes counts by itself.
		{Name: "a long step of it", Edits: ruletest.Edits("cycle", `[{"mode": "climb", "for_s": 700}, {"mode": "off", "for_s": 2000}]`), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Mode: "climb", Demand: 80}},
		{Name: "no modes", Edits: ruletest.Edits("modes", ""), Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
	})
}

// Traps: gG and aR links withstand their whole rating; a peak that lacks a duration
// is neither continuous nor passed over.
func TestOverloadedStaysSilent(t *testing.T) {
	fixture.Play(t, overloaded(), []ruletest.Scene{
		{Name: "gG to its rating", Edits: ruletest.Edits("fuses.main.class", `"gG"`, "fuses.main.rated_A", "63", "fuses.main.opening", ""),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Capability: 63}},
		{Name: "gG derates above 40 C", Edits: ruletest.Edits("fuses.main.class", `"gG"`, "fuses.main.rated_A", "63", "fuses.main.opening", "", "loads.lamp.power_W", "1", "vehicle.ambient_C.max", "60"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Capability: 63 * 0.9}},
		{Name: "peak without a duration", Edits: ruletest.Edits("modes.climb.lasts_s", "", "modes.climb.every_s", ""),
			Subject: "main", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes.climb.lasts_s"}},
		{Name: "peak within its limit", Edits: ruletest.Edits("modes.climb.lasts_s", "", "modes.climb.every_s", "", "modes.climb.draw.drive.current_A", "70"),
			Subject: "main", Want: ruletest.Want{Verdict: rules.Passed, Mode: "cruise", Demand: 50}},
		{Name: "a load that is only briefly on", Edits: ruletest.Edits("loads.lamp.on_s", "20", "loads.lamp.power_W", "360"),
			Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the same continuously", Edits: ruletest.Edits("loads.lamp.power_W", "360"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Mode: "everything on"}},
	})
}

// No mode gives the current of a motor's phase; the controller says what it lets flow
// continuously, 110 A. 40 A x 0.80 and 3 % off for 40 C.
func TestOverloadedInPhase(t *testing.T) {
	results := ruletest.On(t, overloaded(), "mole", ruletest.Edits("fuses.joint", `{"class": "bolt-down", "rated_A": 40, "rated_V_dc": 80, "breaking_A_dc": 1000}`, "wires.w_phase_u.to", `"joint.a"`, "wires.w_far", `{"from": "joint.b", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)...)
	ruletest.Expect(t, results, "joint", ruletest.Want{Verdict: rules.Failed, Demand: 110, Capability: 31.04, Message: "rms of phase current of drive"})
	results = ruletest.On(t, overloaded(), "mole", ruletest.Edits("fuses.joint", `{"class": "bolt-down", "rated_A": 40, "rated_V_dc": 80, "breaking_A_dc": 1000}`, "wires.w_phase_u.to", `"joint.a"`, "wires.w_far", `{"from": "joint.b", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`, "controllers.drive.phase_continuous_A", "")...)
	ruletest.Expect(t, results, "joint", ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"})
}
