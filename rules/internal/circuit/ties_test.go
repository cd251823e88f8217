package circuit_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func resistor(s *schema.Spec, id string, ohm float64) {
	s.Resistors[id] = &schema.Resistor{Base: base("resistors", id), Role: "load", ResistanceOhm: ohm}
}

// branch is a battery of 12 V (14.4 V at the most) behind a fuse of 100 A, and
// from its far side a branch with a fuse of 3 A that feeds a coil-like lamp l.
func branch() *schema.Spec {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 12, 10)
	fuse(s, "main", 100)
	fuse(s, "small", 3)
	lamp(s, "big")
	lamp(s, "l")
	wire(s, "w1", "b.pos", "main.a", "35 mm2", 0.1)
	wire(s, "w2", "main.b", "big.pos", "35 mm2", 1)
	wire(s, "w3", "big.neg", "b.neg", "35 mm2", 1)
	wire(s, "w4", "main.b", "small.a", "1.5 mm2", 0.1)
	wire(s, "feed", "small.b", "l.pos", "1.5 mm2", 1)
	wire(s, "ret", "l.neg", "big.neg", "1.5 mm2", 1)
	return s
}

// What lies between the poles is a part through which a fault loop closes, and
// no way from the one pole to the other's conductors.
func TestWhatTiesThePoles(t *testing.T) {
	type standing struct {
		Side  circuit.Side
		Fuse  string
		Gate  string
		GateA float64
	}
	tests := []struct {
		name  string
		build func(s *schema.Spec)
		want  map[string]standing
	}{
		{
			name: "a heater has a feed and a return like any load",
			build: func(s *schema.Spec) {
				resistor(s, "heater", 12)
				wire(s, "h1", "l.pos", "heater.a", "1.5 mm2", 1)
				wire(s, "h2", "heater.b", "l.neg", "1.5 mm2", 1)
			},
			want: map[string]standing{
				"feed": {Side: circuit.Positive, Fuse: "small"}, "ret": {Side: circuit.Negative, Fuse: "small"},
				"h1": {Side: circuit.Positive, Fuse: "small"}, "h2": {Side: circuit.Negative, Fuse: "small"},
			},
		},
		{
			name: "a lamp behind a dropper resistor carries 14.4 V / 48 Ohm, out and back",
			build: func(s *schema.Spec) {
				resistor(s, "r", 48)
				lamp(s, "x")
				wire(s, "d1", "main.b", "r.a", "1.5 mm2", 0.1)
				wire(s, "d2", "r.b", "x.pos", "1.5 mm2", 1)
				wire(s, "d3", "x.neg", "big.neg", "1.5 mm2", 1)
			},
			want: map[string]standing{
				"d1": {Side: circuit.Positive, Fuse: "main"},
				"d2": {Side: circuit.Positive, Fuse: "main", Gate: "r", GateA: 0.3},
				"d3": {Side: circuit.Negative, Fuse: "main", Gate: "r", GateA: 0.3},
				"w3": {Side: circuit.Negative, Fuse: "main"},
			},
		},
		{
			name: "a diode that takes a coil's energy blocks: the lead behind its resistor carries 14.4 V / 48 Ohm",
			build: func(s *schema.Spec) {
				resistor(s, "r", 48)
				s.Diodes["d"] = &schema.Diode{Base: base("diodes", "d")}
				wire(s, "d1", "l.pos", "d.cathode", "1.5 mm2", 0.1)
				wire(s, "d2", "d.anode", "r.a", "1.5 mm2", 0.1)
				wire(s, "d3", "r.b", "l.neg", "1.5 mm2", 0.1)
			},
			want: map[string]standing{
				"feed": {Side: circuit.Positive, Fuse: "small"}, "ret": {Side: circuit.Negative, Fuse: "small"},
				"d1": {Side: circuit.Positive, Fuse: "small"},
				"d2": {Side: circuit.Negative, Fuse: "small", Gate: "r", GateA: 0.3},
				"d3": {Side: circuit.Negative, Fuse: "small"},
			},
		},
		{
			name: "a heater on the same rails feeds nothing into the suppression of a coil",
			build: func(s *schema.Spec) {
				resistor(s, "r", 48)
				resistor(s, "heater", 12)
				s.Diodes["d"] = &schema.Diode{Base: base("diodes", "d")}
				wire(s, "d1", "l.pos", "d.cathode", "1.5 mm2", 0.1)
				wire(s, "d2", "d.anode", "r.a", "1.5 mm2", 0.1)
				wire(s, "d3", "r.b", "l.neg", "1.5 mm2", 0.1)
				wire(s, "h1", "big.pos", "heater.a", "1.5 mm2", 1)
				wire(s, "h2", "heater.b", "big.neg", "1.5 mm2", 1)
			},
			want: map[string]standing{
				"d2": {Side: circuit.Negative, Fuse: "small", Gate: "r", GateA: 0.3},
				"d3": {Side: circuit.Negative, Fuse: "small"},
				"h2": {Side: circuit.Negative, Fuse: "main"},
			},
		},
		{
			name: "with the resistor at the positive end the lead lies on the positive side",
			build: func(s *schema.Spec) {
				resistor(s, "r", 48)
				s.Diodes["d"] = &schema.Diode{Base: base("diodes", "d")}
				wire(s, "d1", "l.pos", "r.a", "1.5 mm2", 0.1)
				wire(s, "d2", "r.b", "d.cathode", "1.5 mm2", 0.1)
				wire(s, "d3", "d.anode", "l.neg", "1.5 mm2", 0.1)
			},
			want: map[string]standing{
				"d1": {Side: circuit.Positive, Fuse: "small"},
				"d2": {Side: circuit.Positive, Fuse: "small", Gate: "r", GateA: 0.3},
				"d3": {Side: circuit.Negative, Fuse: "small"},
			},
		},
		{
			name: "a reversed diode puts no conductor on the other side",
			build: func(s *schema.Spec) {
				s.Diodes["d"] = &schema.Diode{Base: base("diodes", "d")}
				wire(s, "d1", "l.pos", "d.anode", "1.5 mm2", 0.1)
				wire(s, "d2", "d.cathode", "l.neg", "1.5 mm2", 0.1)
			},
			want: map[string]standing{
				"feed": {Side: circuit.Positive, Fuse: "small"}, "ret": {Side: circuit.Negative, Fuse: "small"},
				"d1": {Side: circuit.Positive, Fuse: "small"}, "d2": {Side: circuit.Negative, Fuse: "small"},
			},
		},
		{
			name: "a reversed diode feeds the lead to its resistor, whose return is the branch's",
			build: func(s *schema.Spec) {
				resistor(s, "r", 48)
				s.Diodes["d"] = &schema.Diode{Base: base("diodes", "d")}
				wire(s, "d1", "l.pos", "d.anode", "1.5 mm2", 0.1)
				wire(s, "d2", "d.cathode", "r.a", "1.5 mm2", 0.1)
				wire(s, "d3", "r.b", "l.neg", "1.5 mm2", 0.1)
			},
			want: map[string]standing{
				"feed": {Side: circuit.Positive, Fuse: "small"}, "ret": {Side: circuit.Negative, Fuse: "small"},
				"d1": {Side: circuit.Positive, Fuse: "small"}, "d2": {Side: circuit.Positive, Fuse: "small"},
				"d3": {Side: circuit.Negative, Fuse: "small"},
			},
		},
		{
			name: "a blocking diode in a feed passes its current on",
			build: func(s *schema.Spec) {
				lamp(s, "x")
				s.Diodes["d"] = &schema.Diode{Base: base("diodes", "d")}
				wire(s, "d1", "l.pos", "d.anode", "1.5 mm2", 0.1)
				wire(s, "d2", "d.cathode", "x.pos", "1.5 mm2", 0.1)
				wire(s, "d3", "x.neg", "l.neg", "1.5 mm2", 0.1)
			},
			want: map[string]standing{
				"d2": {Side: circuit.Positive, Fuse: "small"}, "d3": {Side: circuit.Negative, Fuse: "small"},
			},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := branch()
			tt.build(s)
			guards := circuit.New(s).Guards()
			got := map[string]standing{}
			for id := range tt.want {
				for _, g := range guards[id] {
					s := standing{Side: g.Side, Fuse: g.Fuse()}
					if len(g.Gates) == 1 {
						s.Gate, s.GateA = g.Gates[0].Resistor, g.Gates[0].A
					}
					got[id] = s
				}
			}
			near := cmp.Comparer(func(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 })
			if diff := cmp.Diff(tt.want, got, near); diff != "" {
				t.Errorf("guards (-want +got):\n%s", diff)
			}
		})
	}
}
