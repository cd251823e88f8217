package contactor

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

const climbing = "modes:\n  climb: {closed: [key], draw: {c: {current_A: 150}}, lasts_s: 60, every_s: 300}"

func TestContactorCarryLow(t *testing.T) {
	rule := contactorCarryLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "in a mode continuously", Want: ruletest.Want{Verdict: rules.Passed, Demand: 50, Capability: 100, Relative: 1e-6}},
		{Name: "too much continuously", Replace: []string{"carry_A: 100", "carry_A: 40"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Fix: "at least 50 A continuous"}},
		{
			// tau 600 s: (1 - exp(-0.1)) / (1 - exp(-0.5)) = 0.24186;
			// sqrt(50^2 + (150^2 - 50^2) 0.24186) = 85.66 A; the RMS would be 80.6 A.
			Name:    "over a cycle",
			Replace: []string{"modes:", climbing},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 85.66, Relative: 1e-4},
		},
		{
			Name:    "too much over a cycle",
			Replace: []string{"modes:", climbing, "carry_A: 100", "carry_A: 80"},
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 85.66, Relative: 1e-4},
		},
		{
			Name:    "follows from the short-time rating", // 120 s: it carries 80 A continuously only
			Replace: []string{"modes:", climbing, "lasts_s: 60", "lasts_s: 120", "carry_A: 100", "carry_A: 80"},
			Want:    ruletest.Want{Verdict: rules.Failed, Primary: "contactor-short-time-low/k"},
		},
		{
			// The declared cycle, whatever lasts_s says: 150 A for 60 s and 50 A for 240 s.
			Name:    "over the declared cycle",
			Replace: []string{"modes:", "cycle: [{mode: climb, for_s: 60}, {mode: drive, for_s: 240}]\n" + climbing, "every_s: 300", "every_s: 70"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 85.66, Relative: 1e-4, Message: "declared cycle"},
		},
		{
			// The controller draws no more than 80 A continuously: the mode cannot last.
			Name:    "a peak without a duration",
			Replace: []string{"current_A: 50", "current_A: 120"},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "modes.drive.lasts_s"},
		},
		{
			Name:    "a peak without a duration that it carries continuously",
			Replace: []string{"current_A: 50", "current_A: 95"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{Name: "no rating", Replace: []string{"carry_A: 100, ", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.carry_A"}},
		{
			Name:    "power from a battery of unknown resistance",
			Replace: []string{", resistance_mOhm: {min: 10, typ: 10, max: 10}", "", "current_A: 50", "power_W: 500"},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.b.resistance_mOhm"},
		},
	})
}

// What the tractor's controller lets flow in a phase is 110 A rms, and then 200 A for 60 s, whatever the modes draw:
// sqrt(200^2 - (200^2 - 110^2) exp(-60/600)) = 121.47 A.
func TestContactorInPhase(t *testing.T) {
	phase := ruletest.Edits("contactors.joint", `{"contact": {"carry_A": 40, "rated_V_dc": 80}, "coil": {"nominal_V": 48, "operate_V": 27, "release_V": 4.8, "max_V": 72, "resistance_Ohm": 280, "suppression": "tvs", "clamp_V": 30}}`, "wires.w_phase_u.to", `"joint.a"`, "wires.w_far", `{"from": "joint.b", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, x := range []struct {
		name  string
		edits []rules.Edit
		want  ruletest.Want
	}{
		{"too much", nil, ruletest.Want{Verdict: rules.Failed, Demand: 121.4703, Capability: 40, Relative: 1e-5, Message: "phase current of drive"}},
		{"enough", ruletest.Edits("contactors.joint.contact.carry_A", `150`), ruletest.Want{Verdict: rules.Passed, Demand: 121.4703, Relative: 1e-5}},
		{"no more than continuously", ruletest.Edits("contactors.joint.contact.carry_A", `150`, "controllers.drive.phase_peak_A", ""), ruletest.Want{Verdict: rules.Passed, Demand: 110}},
		{"not stated", ruletest.Edits("controllers.drive.phase_continuous_A", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{"its time is not stated", ruletest.Edits("contactors.joint.contact.carry_A", `150`, "controllers.drive.phase_peak_s", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			ruletest.Expect(t, ruletest.On(t, contactorCarryLow(), "mole", append(slices.Clone(phase), x.edits...)...), "joint", x.want)
		})
	}
}
