package circuit_test

import (
	"math"
	"slices"
	"testing"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Two straps to the chassis, of 1 and 3 m of 10 mm2, and 6 m between the studs that
// they stand on: a ring of 10 m. A current that enters at the far stud goes home by 6 m
// or by 4 m, so that the link carries 0.4 of it and the straps 0.6; one that enters
// at the chassis goes by 1 m or by 9 m.
func TestReturnShare(t *testing.T) {
	s := bench()
	s.Batteries["aux"] = battery("aux", "auxiliary", 12, 20)
	lamp(s, "l")
	for _, id := range []string{"near", "far"} {
		s.Studs[id] = &schema.Stud{Base: base("studs", id)}
	}
	wire(s, "home", "near.stud", "aux.neg", "10 mm2", 1)
	wire(s, "strap", "near.stud", "chassis", "10 mm2", 1)
	wire(s, "second", "far.stud", "chassis", "10 mm2", 3)
	wire(s, "link", "far.stud", "near.stud", "10 mm2", 6)
	wire(s, "feed", "aux.pos", "l.pos", "10 mm2", 1)
	wire(s, "lamp_neg", "l.neg", "far.stud", "10 mm2", 1)
	n := circuit.New(s)
	far, _ := n.Node("far.stud")
	frame, _ := n.Node("chassis")
	for _, c := range []struct {
		id     string
		enters circuit.Node
		share  float64
	}{{"link", far, 0.4}, {"second", far, 0.6}, {"strap", far, 0.6}, {"strap", frame, 0.9}, {"second", frame, 0.1}, {"link", frame, 0.1}, {"home", far, 1}, {"lamp_neg", frame, 0}} {
		if got, ok := n.ReturnShare(n.Edge(c.id), n.Sources()[0], c.enters); !ok || math.Abs(got-c.share) > 0.001 {
			t.Errorf("%s: %v, want %v", c.id, got, c.share)
		}
	}
	if got := n.Beside(n.Edge("link")); !slices.Equal(got, []string{"strap", "second"}) && !slices.Equal(got, []string{"second", "strap"}) {
		t.Errorf("beside the link %v", got)
	}
	if got := n.Beside(n.Edge("home")); got != nil {
		t.Errorf("beside the only way home %v", got)
	}
}
