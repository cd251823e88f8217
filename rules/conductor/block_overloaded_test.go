package conductor

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBlockOverloaded(t *testing.T) {
	fixture.Play(t, blockOverloaded(), []ruletest.Scene{
		// With everything on lamp and horn draw what the converter limits at.
		{Name: "everything on", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 30, Relative: 1e-6, Message: "bar.lamp"}},
		{Name: "without the horn", Subject: "bar", Edits: ruletest.Edits("loads.horn", "", "wires.horn_pos", "", "wires.horn_neg", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 30.0 / 13, Capability: 30, Relative: 0.07, Message: "bar.lamp"}},
		{Name: "a way is too small", Subject: "bar", Edits: ruletest.Edits("blocks.bar.ways.lamp.rated_A", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 25, Capability: 20, Relative: 1e-6, Message: "bar.lamp", Fix: "use a way rated at least"}},
		// What two ways bring leaves by the third: the bar carries their sum, 25 A, once and not twice.
		{Name: "the bar is too small", Subject: "bar", Edits: ruletest.Edits("wires.horn_neg.to", `"bar.free"`, "blocks.bar.rated_A", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 25, Capability: 20, Relative: 1e-6, Message: "bar: 25 A", Fix: "use a block rated at least"}},
		{Name: "not rated", Subject: "bar", Edits: ruletest.Edits("blocks.bar.rated_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "blocks.bar.rated_A"}},
		{Name: "nothing on it", Subject: "bar", Edits: ruletest.Edits("wires.bar_neg", "", "wires.lamp_neg", "")},
	})
}

// What the tractor's controller lets flow in a phase is 110 A rms, and then 200 A for 60 s, whatever the modes draw:
// sqrt(200^2 - (200^2 - 110^2) exp(-60/600)) = 121.47 A.
func TestBlockInPhase(t *testing.T) {
	phase := ruletest.Edits("blocks.joint", `{"rated_A": 40, "rated_V_dc": 80, "ways": {"i": {"rated_A": 150}, "o": {"rated_A": 150}}}`, "wires.w_phase_u.to", `"joint.i"`, "wires.w_far", `{"from": "joint.o", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, x := range []struct {
		name  string
		edits []rules.Edit
		want  ruletest.Want
	}{
		{"too much", nil, ruletest.Want{Verdict: rules.Failed, Demand: 121.4703, Capability: 40, Relative: 1e-5, Message: "phase current of drive"}},
		{"enough", ruletest.Edits("blocks.joint.rated_A", `150`), ruletest.Want{Verdict: rules.Passed, Demand: 121.4703, Relative: 1e-5}},
		{"no more than continuously", ruletest.Edits("blocks.joint.rated_A", `150`, "controllers.drive.phase_peak_A", ""), ruletest.Want{Verdict: rules.Passed, Demand: 110}},
		{"not stated", ruletest.Edits("controllers.drive.phase_continuous_A", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{"its time is not stated", ruletest.Edits("blocks.joint.rated_A", `150`, "controllers.drive.phase_peak_s", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
		{"a way", ruletest.Edits("blocks.joint.rated_A", "150", "blocks.joint.ways.i.rated_A", "100"), ruletest.Want{Verdict: rules.Failed, Demand: 121.4703, Capability: 100, Relative: 1e-5, Message: "joint.i"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			ruletest.Expect(t, ruletest.On(t, blockOverloaded(), "mole", append(slices.Clone(phase), x.edits...)...), "joint", x.want)
		})
	}
}
