package circuit_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// A link is a run over conductors from a negative terminal to a positive one, with what
// lies between; what hangs on it is none, nor is what joins poles of one sign.
func TestStringLinks(t *testing.T) {
	type link struct {
		Conductors []string
		M, BareM   float64
	}
	one := func(m float64, ids ...string) link { return link{ids, m, m} }
	joint := func(s *schema.Spec) {
		s.Studs["joint"] = &schema.Stud{Base: base("studs", "joint")}
		s.Wires["lower"].To = "joint.stud"
		wire(s, "on", "joint.stud", "b.pos", "50 mm2", 0.1)
	}
	whole := map[string]link{"upper": one(0.2, "upper"), "lower": one(0.3, "lower", "on"), "on": one(0.3, "lower", "on")}
	tests := []struct {
		name  string
		build func(s *schema.Spec)
		want  map[string]link
	}{
		{"in one piece", func(*schema.Spec) {}, map[string]link{"upper": one(0.2, "upper"), "lower": one(0.2, "lower")}},
		{"over a joint", joint, whole},
		{"over a joint, a part in a sheath", func(s *schema.Spec) { joint(s); s.Wires["on"].Sheathed = true },
			map[string]link{"upper": one(0.2, "upper"), "lower": {[]string{"lower", "on"}, 0.3, 0.2}, "on": {[]string{"lower", "on"}, 0.3, 0.2}}},
		{"a tap of the joint", func(s *schema.Spec) {
			joint(s)
			lamp(s, "l")
			s.Studs["far"] = &schema.Stud{Base: base("studs", "far")}
			wire(s, "tap", "joint.stud", "far.stud", "2.5 mm2", 1)
			wire(s, "tap2", "far.stud", "l.pos", "2.5 mm2", 1)
			wire(s, "back", "l.neg", "b.neg", "2.5 mm2", 1)
		}, whole},
		{"a fuse at the joint", func(s *schema.Spec) {
			fuse(s, "f", 100)
			s.Wires["lower"].To = "f.a"
			wire(s, "on", "f.b", "b.pos", "50 mm2", 0.1)
		}, map[string]link{"upper": one(0.2, "upper")}},
		{"straps side by side, each for itself", func(s *schema.Spec) { wire(s, "beside", "m.neg", "b.pos", "50 mm2", 0.4) },
			map[string]link{"upper": one(0.2, "upper"), "lower": one(0.2, "lower"), "beside": one(0.4, "beside")}},
		{"a battery that is shorted has none", func(s *schema.Spec) { wire(s, "short", "b.pos", "b.neg", "50 mm2", 0.1) },
			map[string]link{"upper": one(0.2, "upper")}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := threeInSeries()
			test.build(s)
			n, got := circuit.New(s), map[string]link{}
			for id := range s.Wires {
				if l, ok := n.StringLink(n.Edge(id)); ok {
					got[id] = link{l.Conductors, math.Round(1000*l.M) / 1000, math.Round(1000*l.BareM) / 1000}
				}
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}
