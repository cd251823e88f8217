package disconnect

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectCarryLow(t *testing.T) {
	rule := disconnectCarryLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "in a mode continuously", Subject: "iso", Want: ruletest.Want{Verdict: rules.Passed, Demand: 50, Capability: 100, Mode: "drive"}},
		{Name: "too much continuously", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.carry_A", "40"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 50, Fix: "at least 50 A continuous"}},
		// tau 600 s: (1 - exp(-0.1)) / (1 - exp(-0.5)) = 0.24186;
		// sqrt(50^2 + (150^2 - 50^2) 0.24186) = 85.66 A; the RMS would be 80.6 A.
		{Name: "over a cycle", Subject: "iso", Edits: climbing(), Want: ruletest.Want{Verdict: rules.Passed, Demand: 85.66, Mode: "climb"}},
		{Name: "too much over a cycle", Subject: "iso", Edits: climbing(ruletest.Edits("disconnects.iso.carry_A", "80")...), Want: ruletest.Want{Verdict: rules.Failed, Demand: 85.66}},
		// The same currents as a declared cycle.
		{Name: "over the declared cycle", Subject: "iso", Edits: climbing(ruletest.Edits("cycle", `[{"mode": "climb", "for_s": 60}, {"mode": "drive", "for_s": 240}]`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 85.66}},
		{Name: "more than the controller draws continuously, without a duration", Subject: "iso", Edits: ruletest.Edits("modes.drive.draw.drive.current_A", "120"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes.drive.lasts_s"}},
		{Name: "too much continuously beside such a mode", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.carry_A", "45", "modes.race", `{"closed": ["iso", "key"], "draw": {"drive": {"current_A": 120}}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 50}},
		{Name: "the same within what the disconnect carries", Subject: "iso", Edits: ruletest.Edits("modes.drive.draw.drive.current_A", "90"),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "power from a pack of unknown resistance", Subject: "iso", Edits: ruletest.Edits("modes.drive.draw.drive.current_A", "", "modes.drive.draw.drive.power_W", "3000", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "not given", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.carry_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.carry_A"}},
	})
	// A disconnect rated 40 A in a cart that cruises at 50 A.
	r := ruletest.Run(t, ruletest.Changed(t, "../../testdata/first/first.yaml", ruletest.Edits("disconnects.isolator.carry_A", "40")...), []*rules.Rule{rule})
	if len(r) != 1 || !r[0].IsFinding() {
		t.Errorf("a disconnect rated 40 A at 50 A: %+v", r)
	}
}

// What the tractor's controller lets flow in a phase is 110 A rms, and then 200 A for 60 s, whatever the modes draw:
// sqrt(200^2 - (200^2 - 110^2) exp(-60/600)) = 121.47 A.
func TestDisconnectInPhase(t *testing.T) {
	phase := ruletest.Edits("disconnects.joint", `{"carry_A": 40, "rated_V_dc": 80}`, "wires.w_phase_u.to", `"joint.a"`, "wires.w_far", `{"from": "joint.b", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, x := range []struct {
		name  string
		edits []rules.Edit
		want  ruletest.Want
	}{
		{"too much", nil, ruletest.Want{Verdict: rules.Failed, Demand: 121.4703, Capability: 40, Relative: 1e-5, Message: "phase current of drive"}},
		{"enough", ruletest.Edits("disconnects.joint.carry_A", `150`), ruletest.Want{Verdict: rules.Passed, Demand: 121.4703, Relative: 1e-5}},
		{"no more than continuously", ruletest.Edits("disconnects.joint.carry_A", `150`, "controllers.drive.phase_peak_A", ""), ruletest.Want{Verdict: rules.Passed, Demand: 110}},
		{"not stated", ruletest.Edits("controllers.drive.phase_continuous_A", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_continuous_A"}},
		{"its time is not stated", ruletest.Edits("disconnects.joint.carry_A", `150`, "controllers.drive.phase_peak_s", ""), ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.phase_peak_s"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			ruletest.Expect(t, ruletest.On(t, disconnectCarryLow(), "mole", append(slices.Clone(phase), x.edits...)...), "joint", x.want)
		})
	}
}
