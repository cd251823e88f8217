package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 7 and 40 in of 33 CFR 183.455 from either end of a link.
func TestStringLinkLong(t *testing.T) {
	link := func(edits ...string) rules.Result {
		return ruletest.On(t, stringLinkLong(), "../sound/series-string.yaml", ruletest.Edits(edits...)...)["l2"]
	}
	const rest = `{"from": "joint.stud", "to": "b3.pos", "size": "50 mm2", "insulation": {"max_C": 105, "rated_V": 600}, "length_m": `
	joined := func(more ...string) []string {
		return append([]string{"studs.joint", `{"rated_A": 250}`, "wires.l2.to", `"joint.stud"`}, more...)
	}
	for _, c := range []struct {
		name  string
		edits []string
		want  rules.Verdict
		level rules.Level
	}{
		{"as it is", nil, rules.Passed, rules.Warning},
		{"0.35 m bare", []string{"wires.l2.length_m", "0.35"}, rules.Passed, rules.Warning},
		{"0.36 m bare", []string{"wires.l2.length_m", "0.36"}, rules.Failed, rules.Warning},
		{"2 m in a sheath", []string{"wires.l2.length_m", "2", "wires.l2.sheathed", "true"}, rules.Passed, rules.Warning},
		{"2.1 m in a sheath", []string{"wires.l2.length_m", "2.1", "wires.l2.sheathed", "true"}, rules.Failed, rules.Warning},
		{"over a joint, 0.2 and 0.15 m", joined("wires.rest", rest+`0.15}`), rules.Passed, rules.Warning},
		{"over a joint, 0.2 and 0.16 m", joined("wires.rest", rest+`0.16}`), rules.Failed, rules.Warning},
		{"2 m, of which the longest piece has the result", joined("wires.rest", rest+`1.8, "sheathed": true}`, "wires.l2.length_m", "0.2"), "", ""},
		{"0.36 m bare and 0.4 m in a sheath", joined("wires.rest", rest+`0.3, "sheathed": true}`, "wires.l2.length_m", "0.36"), rules.Failed, rules.Warning},
		{"on the chassis", []string{"wires.l2.length_m", "0.36", "wires.frame", `{"from": "b4.neg", "to": "chassis", "size": "50 mm2", "length_m": 0.3}`}, rules.Failed, rules.Error},
	} {
		if got := link(c.edits...); got.Verdict != c.want || got.Level != c.level {
			t.Errorf("%s: %s %s: %s", c.name, got.Level, got.Verdict, got.Message)
		}
	}
}
