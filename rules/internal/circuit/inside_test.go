package circuit_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// fuseInside gives a battery a fuse inside.
func fuseInside(s *schema.Spec, battery string, amperes float64) {
	s.Batteries[battery].InternalFuseA = schema.Some(amperes)
}

// threeInSeries is a string of three batteries with 0.1 m of lead to a controller, t
// above m above b.
func threeInSeries() *schema.Spec {
	s := bench()
	for _, id := range []string{"t", "m", "b"} {
		s.Batteries[id] = battery(id, "traction", 12, 4)
	}
	s.Controllers["drive"] = &schema.Controller{Base: base("controllers", "drive"), MinV: 20, MaxV: 60}
	wire(s, "plus", "t.pos", "drive.pos", "50 mm2", 0.5)
	wire(s, "upper", "t.neg", "m.pos", "50 mm2", 0.2)
	wire(s, "lower", "m.neg", "b.pos", "50 mm2", 0.2)
	wire(s, "minus", "b.neg", "drive.neg", "50 mm2", 0.5)
	return s
}

// A fuse inside a battery protects whatever its current flows through alone: against the
// battery itself all conductors, against others those whose loop leads through it. A tap
// below it has it in no loop of the batteries below.
func TestFusesInsideBatteries(t *testing.T) {
	type of map[string]circuit.Inside // by source
	alone := func(ids ...string) circuit.Inside { return circuit.Inside{Batteries: ids} }
	tests := []struct {
		name      string
		build     func(s *schema.Spec)
		conductor string
		want      of
	}{
		{"of the uppermost, the lead to the drive", func(s *schema.Spec) { fuseInside(s, "t", 100) }, "plus",
			of{"t": alone("t"), "m": alone("t"), "b": alone("t")}},
		{"and the return", func(s *schema.Spec) { fuseInside(s, "t", 100) }, "minus",
			of{"t": alone("t"), "m": alone("t"), "b": alone("t")}},
		{"the smallest first", func(s *schema.Spec) { fuseInside(s, "t", 100); fuseInside(s, "b", 80) }, "plus",
			of{"t": alone("b", "t"), "m": alone("b", "t"), "b": alone("b", "t")}},
		{"a tap below it", func(s *schema.Spec) {
			fuseInside(s, "t", 100)
			lamp(s, "l")
			wire(s, "tap", "b.pos", "l.pos", "2.5 mm2", 1)
			wire(s, "back", "l.neg", "b.neg", "2.5 mm2", 1)
		}, "tap", of{"t": alone("t"), "m": alone("t"), "b": {}}}, // t and m drive a current through it only from the drive's lead
		{"a tap below, and a fuse in the lowest", func(s *schema.Spec) {
			fuseInside(s, "t", 100)
			fuseInside(s, "b", 60)
			lamp(s, "l")
			wire(s, "tap", "b.pos", "l.pos", "2.5 mm2", 1)
			wire(s, "back", "l.neg", "b.neg", "2.5 mm2", 1)
		}, "tap", of{"t": alone("t"), "m": alone("t"), "b": alone("b")}},
		{"two in parallel below", func(s *schema.Spec) {
			s.Batteries["b2"] = battery("b2", "traction", 12, 4)
			wire(s, "beside_pos", "b2.pos", "b.pos", "50 mm2", 0.1)
			wire(s, "beside_neg", "b2.neg", "b.neg", "50 mm2", 0.1)
			fuseInside(s, "b", 90)
			fuseInside(s, "b2", 70)
		}, "plus", of{"t": {Batteries: []string{"b2", "b"}, Together: true}, "m": {Batteries: []string{"b2", "b"}, Together: true},
			"b": alone("b"), "b2": alone("b2")}},
		{"two in parallel below, one without", func(s *schema.Spec) {
			s.Batteries["b2"] = battery("b2", "traction", 12, 4)
			wire(s, "beside_pos", "b2.pos", "b.pos", "50 mm2", 0.1)
			wire(s, "beside_neg", "b2.neg", "b.neg", "50 mm2", 0.1)
			fuseInside(s, "b", 90)
		}, "plus", of{"t": {}, "m": {}, "b": alone("b"), "b2": {}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := threeInSeries()
			test.build(s)
			got := of{}
			for _, g := range circuit.New(s).Guards()[test.conductor] {
				got[g.Source.ID] = g.Inside
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Which end of a conductor is the near one is the same whichever the spec calls its
// beginning: of links that count for no length, and of two side by side.
func TestNearEnds(t *testing.T) {
	nodes := func(s *schema.Spec) map[string][]string {
		n := circuit.New(s)
		out := map[string][]string{}
		for id, all := range n.Guards() {
			for _, g := range all {
				name := func(v circuit.Node) string { return slices.Min(n.Terminals(v)) }
				out[id] = append(out[id], g.Source.ID+" "+string(g.Side)+" "+name(g.Near)+" "+name(g.Far))
			}
		}
		return out
	}
	build := func() *schema.Spec {
		s := threeInSeries()
		wire(s, "beside", "m.pos", "t.neg", "50 mm2", 0.2)
		return s
	}
	want := nodes(build())
	if diff := cmp.Diff([]string{"b positive m.pos t.neg", "m positive m.pos t.neg", "t negative t.neg m.pos"}, want["upper"]); diff != "" {
		t.Error(diff)
	}
	for _, id := range []string{"upper", "beside", "lower", "plus", "minus"} {
		s := build()
		w := s.Wires[id]
		w.From, w.To = w.To, w.From
		if diff := cmp.Diff(want, nodes(s)); diff != "" {
			t.Errorf("%s from its other end: %s", id, diff)
		}
	}
}
