package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPhaseCableOverloaded(t *testing.T) {
	fixture.Play(t, phaseCableOverloaded(), []ruletest.Scene{
		{Name: "large enough", Subject: "u", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100, Capability: 140, Relative: 0.06}},
		{Name: "too small", Subject: "v", Edits: ruletest.Edits("wires.v.size", `"10 mm2"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 100, Fix: "use at least 16 mm2 for v"}},
		// 100 A of the peak of the sine are 70.7 A rms, and not the 60 A of the battery.
		{Name: "stated as the peak of the sine", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_is", `"peak"`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 70.7107}},
		{Name: "two cables with a joint between", Subject: "far", Edits: ruletest.Edits("studs.joint", `{}`, "wires.u.to", `"joint.stud"`,
			"wires.far", `{"from": "joint.stud", "to": "wheel.u", "size": "6 mm2", "length_m": 1}`),
			Want: ruletest.Want{Verdict: rules.Failed}},
		// Of 10 and 25 mm2 of one length the thin one takes 2/7 of 100 A: nothing is wrong with it.
		{Name: "two in parallel", Subject: "u2", Edits: ruletest.Edits("wires.u2", `{"from": "drive.u", "to": "wheel.u", "size": "10 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 600}}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 29, Relative: 0.02}},
		{Name: "not stated", Subject: "u", Edits: ruletest.Edits("controllers.drive.phase_continuous_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{Name: "a cable of the battery", Subject: "w2"},
	})
}
