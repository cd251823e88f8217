package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The fixture with its negative on the chassis, and the main fuse moved there: a short
// circuit of the positive side to the metalwork has no fuse in its loop. With another
// in the positive side it is untidy and no more.
func TestInEarthedPole(t *testing.T) {
	wire := func(from, to, length string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "35 mm2", "length_m": ` + length + `, "insulation": {"max_C": 90}}`
	}
	grounded := ruletest.Edits("wires.w_chassis", wire("pack.neg", "chassis", "0.2"))
	second := `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000}`
	negative := ruletest.Edits("fuses.neg", second,
		"wires.w_drive_neg.to", `"neg.a"`, "wires.w_neg", wire("neg.b", "pack.neg", "0.1"))
	alone := append(ruletest.Edits("fuses.main", "", "wires.w_pack.to", `"drive.pos"`, "wires.w_pack.length_m", "1.1", "wires.w_drive", "",
		"wires.w_branch.from", `"drive.pos"`), negative...)
	fixture.Play(t, inEarthedPole(), []ruletest.Scene{
		{Name: "alone, on the chassis", Edits: append(alone, grounded...), Subject: "neg", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "a short circuit of w_pack to the metalwork passes it by"}},
		{Name: "beside one in the positive side", Edits: append(negative, grounded...), Subject: "neg", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "alone, isolated", Edits: alone, Subject: "neg"},
		{Name: "in the positive side", Edits: grounded, Subject: "main"},
	})
}
