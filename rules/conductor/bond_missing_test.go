package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBondMissing(t *testing.T) {
	low := ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "58.4", "controllers.drive.min_V", "36", "converters.dcdc.input.min_V", "36")
	charger := `{"max_V": 110, "max_A": 10, "isolated": true, "pluggable": true}`
	wire := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 125, "rated_V": 600}}`
	}
	plugged := ruletest.Edits("chargers.inlet", charger, "wires.c1", wire("inlet.pos", "joint.stud"), "wires.c2", wire("inlet.neg", "ground.stud"))
	motor := ruletest.Edits("controllers.drive.phase_continuous_A", "100", "motors.wheel", `{"kind": "induction"}`,
		"wires.m1", wire("drive.u", "wheel.u"), "wires.m2", wire("drive.v", "wheel.v"), "wires.m3", wire("drive.w", "wheel.w"))
	fixture.Play(t, bondMissing(), []ruletest.Scene{
		{Name: "a motor whose controller switches the pack", Subject: "wheel", Edits: motor, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "and below 60 V", Subject: "wheel", Edits: append(motor, low...)},
		{Name: "over the frame", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the frame itself", Subject: "frame", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "no bond", Subject: "dcdc", Edits: ruletest.Edits("bonds.case_dcdc", ""), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "a bond that leads nowhere", Subject: "drive", Edits: ruletest.Edits("bonds.case_frame", ""), Want: ruletest.Want{Verdict: rules.Failed, Message: "ends at frame"}},
		{Name: "bonds in a circle", Subject: "drive", Edits: ruletest.Edits("bonds.case_frame.to", `"drive"`), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "below 60 V", Subject: "dcdc", Edits: append(low, ruletest.Edits("bonds", "")...)},
		{Name: "a charger that is plugged in", Subject: "inlet", Edits: plugged},
		{Name: "a charger that stays", Subject: "inlet", Edits: append(plugged, ruletest.Edits("chargers.inlet.pluggable", "false")...), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "a wooden panel", Subject: "frame", Edits: ruletest.Edits("panels.frame.material", `"plywood"`)},
	})
}

// A converter that is only carried has no case that could become live.
func TestNoBondOfASpare(t *testing.T) {
	results := ruletest.On(t, bondMissing(), "heron", ruletest.Edits("converters.converter.spare", "true", "bonds.bond_converter", "")...)
	if r, ok := results["converter"]; ok {
		t.Errorf("the spare is a subject: %s", r.Message)
	}
	ruletest.Verdict(t, results, "drive", rules.Passed)
}
