package connector

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 120 A at 60 C, 105 C at most: in 85 C 120 sqrt(20/45) = 80 A (WF13).
func TestOverloaded(t *testing.T) {
	fixture.Play(t, overloaded(), []ruletest.Scene{
		{Name: "in hot air", Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 80}},
		// 120 A sqrt((105 - 65) / (105 - 60)), if no mode in hotter air sends anything through it.
		{Name: "in the cool air of all its modes", Edits: ruletest.Edits("modes", `{"drive": {"closed": ["key"], "draw": {"drive": {"current_A": 70}}, "ambient_C": 20}}`), Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 113.1}},
		{Name: "less in hot air", Edits: ruletest.Edits("modes", `{"drive": {"closed": ["key"], "draw": {"drive": {"current_A": 70}}, "ambient_C": 20}, "yard": {"closed": ["key"], "draw": {"drive": {"current_A": 60}}, "ambient_C": 40}}`), Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 80}},
		{Name: "a smaller contact", Edits: ruletest.Edits("connectors.plug.contacts", `[{"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 90, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 70, Capability: 60, Fix: "at least 71 A"}},
		{Name: "temperature of the rating not given", Edits: ruletest.Edits("connectors.plug.rated_at_C", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.rated_at_C"}},
		{Name: "rated current not given", Edits: ruletest.Edits("connectors.plug.contacts", `[{"rated_V_dc": 100}, {"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.contacts.0.carry_A"}},
		{Name: "a third contact loaded, without a derating", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.contacts", `[{"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 2, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.derating"}},
		// NFPA 70 table 310.17 at 90 C: 8 AWG (8.4 mm2) 80 A, 2 AWG (33.6 mm2) 190 A, and so about 0.45 for
		// 10 over 35 mm2: 80 A become 36 A.
		{Name: "a thin wire in it", Edits: ruletest.Edits("wires.w6.size", `"10 mm2"`), Want: ruletest.Want{Verdict: rules.Failed, Demand: 70, Capability: 36, Relative: 0.06, Fix: "a wire of 35 mm2"}},
		{Name: "a thick wire in it", Edits: ruletest.Edits("wires.w6.size", `"95 mm2"`), Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 80}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}

// What the tractor's controller lets flow in a phase is 110 A rms, and then 200 A for 60 s, whatever the modes draw:
// sqrt(200^2 - (200^2 - 110^2) exp(-60/120)) = 151.91 A.
func TestOverloadedInPhase(t *testing.T) {
	phase := ruletest.Edits("connectors.joint", `{"use": "harness", "contacts": [{"carry_A": 40, "rated_V_dc": 30}], "max_C": 105, "rated_at_C": 60, "lock": "latch"}`, "wires.w_phase_u.to", `"joint.a1"`, "wires.w_far", `{"from": "joint.b1", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, x := range []struct {
		name  string
		edits []rules.Edit
		want  ruletest.Want
	}{
		{"too much", nil, ruletest.Want{Verdict: rules.Failed, Demand: 151.9138, Relative: 1e-5, Message: "phase current of drive"}},
		{"enough", ruletest.Edits("connectors.joint.contacts", `[{"carry_A": 300, "rated_V_dc": 80}]`), ruletest.Want{Verdict: rules.Passed, Demand: 151.9138, Relative: 1e-5}},
		{"no more than continuously", ruletest.Edits("connectors.joint.contacts", `[{"carry_A": 300, "rated_V_dc": 80}]`, "controllers.drive.phase_peak_A", ""), ruletest.Want{Verdict: rules.Passed, Demand: 110}},
		{"not stated", ruletest.Edits("controllers.drive.phase_continuous_A", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{"its time is not stated", ruletest.Edits("connectors.joint.contacts", `[{"carry_A": 300, "rated_V_dc": 80}]`, "controllers.drive.phase_peak_s", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			ruletest.Expect(t, ruletest.On(t, overloaded(), "mole", append(slices.Clone(phase), x.edits...)...), "joint", x.want)
		})
	}
}
