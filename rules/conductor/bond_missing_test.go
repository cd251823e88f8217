package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBondMissing(t *testing.T) {
	low := edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "58.4", "controllers.drive.min_V", "36", "converters.dcdc.input.min_V", "36")
	charger := `{"max_V": 110, "max_A": 10, "isolated": true, "pluggable": true}`
	wire := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 125, "rated_V": 600}}`
	}
	plugged := edits("chargers.inlet", charger, "wires.c1", wire("inlet.pos", "joint.stud"), "wires.c2", wire("inlet.neg", "ground.stud"))
	play(t, bondMissing(),
		ruletest.Scene{Name: "over the frame", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed}},
		ruletest.Scene{Name: "the frame itself", Subject: "frame", Want: ruletest.Want{Verdict: rules.Passed}},
		ruletest.Scene{Name: "no bond", Subject: "dcdc", Edits: edits("bonds.case_dcdc", ""), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		ruletest.Scene{Name: "a bond that leads nowhere", Subject: "drive", Edits: edits("bonds.case_frame", ""), Want: ruletest.Want{Verdict: rules.Failed, Message: "ends at frame"}},
		ruletest.Scene{Name: "bonds in a circle", Subject: "drive", Edits: edits("bonds.case_frame.to", `"drive"`), Want: ruletest.Want{Verdict: rules.Failed}},
		ruletest.Scene{Name: "below 60 V", Subject: "dcdc", Edits: append(low, edit("bonds", ""))},
		ruletest.Scene{Name: "a charger that is plugged in", Subject: "inlet", Edits: plugged},
		ruletest.Scene{Name: "a charger that stays", Subject: "inlet", Edits: append(plugged, edit("chargers.inlet.pluggable", "false")), Want: ruletest.Want{Verdict: rules.Failed}},
		ruletest.Scene{Name: "a wooden panel", Subject: "frame", Edits: edits("panels.frame.material", `"plywood"`)},
	)
}

// A converter that is only carried has no case that could become live.
func TestNoBondOfASpare(t *testing.T) {
	results := ruletest.On(t, bondMissing(), "heron", edit("converters.converter.spare", "true"), edit("bonds.bond_converter", ""))
	if r, ok := results["converter"]; ok {
		t.Errorf("the spare is a subject: %s", r.Message)
	}
	ruletest.Verdict(t, results, "drive", rules.Passed)
}
