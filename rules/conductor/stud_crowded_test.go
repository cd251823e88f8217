package conductor

import (
	"regexp"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStudCrowded(t *testing.T) {
	strap := `{"from": "ground.stud", "to": "chassis", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`
	bar := `{"from": "ground.stud", "to": "joint.stud", "width_mm": 20, "thickness_mm": 3, "length_mm": 40}`
	fixture.Play(t, studCrowded(), []ruletest.Scene{
		{Name: "three", Subject: "ground", Want: ruletest.Want{Verdict: rules.Passed, Demand: 3, Capability: 4}},
		{Name: "five", Subject: "ground", Edits: ruletest.Edits("wires.a", strap, "wires.b", strap), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 5}},
		{Name: "a bar through the stud counts once", Subject: "ground", Edits: ruletest.Edits("busbars.c", bar, "busbars.d", bar),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 4}},
		{Name: "the team allows six", Subject: "ground", Edits: ruletest.Edits("wires.a", strap, "wires.b", strap, "policy.stud_lugs", "6"), Want: ruletest.Want{Verdict: rules.Passed}},
	})
}

// The message lists the conductors as a sentence does.
func TestCrowdedStudListsItsLugs(t *testing.T) {
	r := ruletest.On(t, studCrowded(), "heron", ruletest.Edits("policy.stud_lugs", "1")...)["minus_aux"]
	if !regexp.MustCompile(`minus_aux: 3 lugs \(\w+(, \w+)+\), limit 1`).MatchString(r.Message) {
		t.Errorf("%s", r.Message)
	}
}
