package conductor

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStudOverloaded(t *testing.T) {
	fixture.Play(t, studOverloaded(), []ruletest.Scene{
		// 60 A to the controller, and some to the converter that idles.
		{Name: "rated by thread and metal", Subject: "joint", Want: ruletest.Want{Verdict: rules.Passed, Demand: 62.0212, Capability: 160, Relative: 0.01}},
		{Name: "rated by its maker", Subject: "ground", Want: ruletest.Want{Verdict: rules.Passed, Demand: 62.0212, Capability: 500, Relative: 0.01}},
		{Name: "too much", Subject: "joint", Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "200"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 202.069, Relative: 0.01, Fix: "use a stud rated at least 203 A"}},
		// Half a minute in ten: sqrt(60^2 + (250^2 - 60^2) (1 - exp(-30/600)) / (1 - exp(-1))) = 90.9 A.
		{Name: "a short peak", Subject: "joint", Edits: ruletest.Edits("modes.hill", `{"draw": {"drive": {"current_A": 250}}, "lasts_s": 30, "every_s": 600}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 91.4984, Relative: 0.01}},
		{Name: "nothing known of it", Subject: "joint", Edits: ruletest.Edits("studs.joint.material", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "studs.joint.rated_A"}},
	})
}

// What the tractor's controller lets flow in a phase is 110 A rms, and then 200 A for 60 s, whatever the modes draw:
// sqrt(200^2 - (200^2 - 110^2) exp(-60/600)) = 121.47 A.
func TestStudInPhase(t *testing.T) {
	phase := ruletest.Edits("studs.joint", `{"rated_A": 40}`, "wires.w_phase_u.to", `"joint.stud"`, "wires.w_far", `{"from": "joint.stud", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, x := range []struct {
		name  string
		edits []rules.Edit
		want  ruletest.Want
	}{
		{"too much", nil, ruletest.Want{Verdict: rules.Failed, Demand: 121.4703, Capability: 40, Relative: 1e-5, Message: "phase current of drive"}},
		{"enough", ruletest.Edits("studs.joint.rated_A", `150`), ruletest.Want{Verdict: rules.Passed, Demand: 121.4703, Relative: 1e-5}},
		{"no more than continuously", ruletest.Edits("studs.joint.rated_A", `150`, "controllers.drive.phase_peak_A", ""), ruletest.Want{Verdict: rules.Passed, Demand: 110}},
		{"not stated", ruletest.Edits("controllers.drive.phase_continuous_A", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{"its time is not stated", ruletest.Edits("studs.joint.rated_A", `150`, "controllers.drive.phase_peak_s", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			ruletest.Expect(t, ruletest.On(t, studOverloaded(), "mole", append(slices.Clone(phase), x.edits...)...), "joint", x.want)
		})
	}
}
