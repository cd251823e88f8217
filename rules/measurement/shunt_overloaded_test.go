package measurement

import (
	"math"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestShuntOverloaded(t *testing.T) {
	rule := shuntOverloaded()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within", Subject: "s", Want: ruletest.Want{Verdict: rules.Passed, Demand: 101.951, Capability: 201}}, // 67 % of 300 A
		{Name: "within its rating, but continuously", Subject: "s", Edits: ruletest.Edits("shunts.s.rated_A", "120"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 101.95, Capability: 80.4, Fix: "153 A"}},
		{Name: "30 A with 50 A", Subject: "s", Edits: ruletest.Edits("shunts.s.rated_A", "30", "modes.drive.draw.drive.current_A", "50"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 51.9732, Capability: 20.1}},
		// tau 120 s, 250 A for 60 s in every 300 s over 100 A: (1 - exp(-0.5)) /
		// (1 - exp(-2.5)) = 0.42865; sqrt(100^2 + (250^2 - 100^2) 0.42865) = 180.3 A.
		{Name: "over a cycle", Subject: "s", Edits: ruletest.Edits("modes.climb", `{"draw": {"drive": {"current_A": 250}}, "lasts_s": 60, "every_s": 300}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 180.913, Mode: "climb"}},
		{Name: "power from a pack of unknown resistance", Subject: "s", Edits: ruletest.Edits("modes.drive.draw.drive", `{"power_W": 3000}`, "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "spare", Subject: "s", Edits: ruletest.Edits("shunts.s.spare", "true")},
	})
}

// Two thirds of its rating, as WE45 of testdata/published has it, in whole percent.
func TestPublishedPolicy(t *testing.T) {
	policy := ruletest.Load(t, "../../testdata/first/first.yaml").Policy
	if got := policy.ShuntContinuousPercent; math.Abs(got-200.0/3) > 0.5 {
		t.Errorf("a shunt carries %v %% of its rating continuously", got)
	}
}

// What the tractor's controller lets flow in a phase is 110 A rms, and then 200 A for 60 s, whatever the modes draw:
// sqrt(200^2 - (200^2 - 110^2) exp(-60/120)) = 151.91 A.
func TestShuntInPhase(t *testing.T) {
	phase := ruletest.Edits("shunts.joint", `{"rated_A": 100, "drop_mV": 50}`, "wires.w_phase_u.to", `"joint.a"`, "wires.w_far", `{"from": "joint.b", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, x := range []struct {
		name  string
		edits []rules.Edit
		want  ruletest.Want
	}{
		{"too much", nil, ruletest.Want{Verdict: rules.Failed, Demand: 151.9138, Capability: 67, Relative: 1e-5, Message: "phase current of drive"}},
		{"enough", ruletest.Edits("shunts.joint.rated_A", `300`), ruletest.Want{Verdict: rules.Passed, Demand: 151.9138, Relative: 1e-5}},
		{"no more than continuously", ruletest.Edits("shunts.joint.rated_A", `300`, "controllers.drive.phase_peak_A", ""), ruletest.Want{Verdict: rules.Passed, Demand: 110}},
		{"not stated", ruletest.Edits("controllers.drive.phase_continuous_A", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{"its time is not stated", ruletest.Edits("shunts.joint.rated_A", `300`, "controllers.drive.phase_peak_s", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			ruletest.Expect(t, ruletest.On(t, shuntOverloaded(), "mole", append(slices.Clone(phase), x.edits...)...), "joint", x.want)
		})
	}
}
