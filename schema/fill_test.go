package schema

import (
	"strings"
	"testing"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// TestFillMisfit checks that a value which no field of the model can hold is an
// error of the program and not passed over.
func TestFillMisfit(t *testing.T) {
	number := func(v float64) *source.Value { return &source.Value{Kind: source.NumberKind, Number: v} }
	group := func(name string, v *source.Value) *source.Value {
		d := &source.Value{Kind: source.ObjectKind}
		d.Add(name, v)
		return d
	}
	policy := define.Spec().Field("policy").Value
	var p Policy
	var c filler
	if err := c.fill(&p, group("pollution_degree", number(2)), policy); err != nil || p.PollutionDegree != 2 {
		t.Errorf("%v, %d", err, p.PollutionDegree)
	}
	for _, d := range []*source.Value{
		group("pollution_degree", number(2.5)), group("ampacity", number(2)), group("required", number(1)),
		group("live_V", &source.Value{Kind: source.TextKind, Text: "5"}), number(1), {Kind: source.ListKind},
	} {
		if err := c.fill(&p, d, policy); err == nil || !strings.Contains(err.Error(), "does not fit") {
			t.Errorf("%s: %v", d.Show(), err)
		}
	}
	left := group("live_V", &source.Value{Kind: source.TextKind, Text: "5", Broken: true})
	if err := c.fill(&p, left, policy); err != nil || p.LiveV != 5 {
		t.Errorf("%v: %v, want the default", err, p.LiveV)
	}
}
