package circuit_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func TestChains(t *testing.T) {
	diode := func(s *schema.Spec, id string) { s.Diodes[id] = &schema.Diode{Base: base("diodes", id)} }
	tests := []struct {
		name  string
		build func(s *schema.Spec)
		want  []string // parts in their order, with the direction in which they conduct
	}{
		{"nothing", func(*schema.Spec) {}, nil},
		{"a diode", func(s *schema.Spec) {
			diode(s, "d")
			wire(s, "x1", "k.pos", "d.cathode", "1.5 mm2", 0.1)
			wire(s, "x2", "d.anode", "k.neg", "1.5 mm2", 0.1)
		}, []string{"d backward"}},
		{"a diode and two resistors in series", func(s *schema.Spec) {
			diode(s, "d")
			resistor(s, "r1", 1)
			resistor(s, "r2", 1)
			wire(s, "x1", "k.pos", "r1.b", "1.5 mm2", 0.1)
			wire(s, "x2", "r1.a", "d.anode", "1.5 mm2", 0.1)
			wire(s, "x3", "d.cathode", "r2.a", "1.5 mm2", 0.1)
			wire(s, "x4", "r2.b", "k.neg", "1.5 mm2", 0.1)
		}, []string{"r1 d r2 forward"}},
		{"a resistor conducts both ways", func(s *schema.Spec) {
			resistor(s, "r", 1)
			wire(s, "x1", "k.pos", "r.b", "1.5 mm2", 0.1)
			wire(s, "x2", "r.a", "k.neg", "1.5 mm2", 0.1)
		}, []string{"r forward backward"}},
		{"two diodes back to back conduct neither way", func(s *schema.Spec) {
			diode(s, "d1")
			diode(s, "d2")
			wire(s, "x1", "k.pos", "d1.cathode", "1.5 mm2", 0.1)
			wire(s, "x2", "d1.anode", "d2.anode", "1.5 mm2", 0.1)
			wire(s, "x3", "d2.cathode", "k.neg", "1.5 mm2", 0.1)
		}, []string{"d1 d2"}},
		{"two diodes share a resistor", func(s *schema.Spec) {
			diode(s, "d1")
			diode(s, "d2")
			resistor(s, "r", 1)
			wire(s, "x1", "k.pos", "d1.cathode", "1.5 mm2", 0.1)
			wire(s, "x2", "k.pos", "d2.cathode", "1.5 mm2", 0.1)
			wire(s, "x3", "d1.anode", "r.a", "1.5 mm2", 0.1)
			wire(s, "x4", "d2.anode", "r.a", "1.5 mm2", 0.1)
			wire(s, "x5", "r.b", "k.neg", "1.5 mm2", 0.1)
		}, []string{"d1 r backward", "d2 r backward"}},
		{"a diode that feeds something else", func(s *schema.Spec) {
			diode(s, "d")
			resistor(s, "r", 1)
			lamp(s, "other")
			wire(s, "x1", "k.pos", "d.anode", "1.5 mm2", 0.1)
			wire(s, "x2", "d.cathode", "r.a", "1.5 mm2", 0.1)
			wire(s, "x3", "d.cathode", "other.pos", "1.5 mm2", 0.1)
			wire(s, "x4", "r.b", "k.neg", "1.5 mm2", 0.1)
		}, nil},
		{"a spare", func(s *schema.Spec) {
			diode(s, "d")
			s.Diodes["d"].Spare = true
			wire(s, "x1", "k.pos", "d.cathode", "1.5 mm2", 0.1)
			wire(s, "x2", "d.anode", "k.neg", "1.5 mm2", 0.1)
		}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := bench()
			lamp(s, "k")
			tt.build(s)
			n := circuit.New(s)
			k := n.Edge("k")
			var got []string
			for _, c := range n.Chains(k.From, k.To) {
				var words []string
				for _, e := range c.Parts {
					words = append(words, e.Part)
				}
				if c.Forward {
					words = append(words, "forward")
				}
				if c.Backward {
					words = append(words, "backward")
				}
				got = append(got, strings.Join(words, " "))
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("chains (-want +got):\n%s", diff)
			}
		})
	}
}

// A relay whose coil is fed through its own break contact finds no rest. What
// hangs on that contact alternates with it; a lamp beside it does not.
func TestRestless(t *testing.T) {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 12, 0.1)
	s.Relays["k"] = &schema.Relay{Base: base("relays", "k"), Form: "nc",
		Coil: schema.Coil{NominalV: 12, OperateV: schema.Some(7), ReleaseV: schema.Some(1), ResistanceOhm: schema.Some(100)}}
	lamp(s, "behind")
	lamp(s, "beside")
	s.Modes["use"].On = []string{"behind", "beside"}
	wire(s, "w1", "b.pos", "k.common", "6 mm2", 0.1)
	wire(s, "w2", "k.nc", "k.coil_pos", "6 mm2", 0.1)
	wire(s, "w3", "k.coil_neg", "b.neg", "6 mm2", 0.1)
	wire(s, "w4", "k.nc", "behind.pos", "6 mm2", 0.1)
	wire(s, "w5", "behind.neg", "b.neg", "6 mm2", 0.1)
	wire(s, "w6", "b.pos", "beside.pos", "6 mm2", 0.1)
	wire(s, "w7", "beside.neg", "b.neg", "6 mm2", 0.1)
	n := circuit.New(s)
	got := n.Solve(circuit.Case{Mode: "use"})
	if diff := cmp.Diff([]string{"k"}, got.Chatter); diff != "" {
		t.Fatalf("chatter (-want +got):\n%s", diff)
	}
	for edge, want := range map[string]bool{"k.coil": true, "k.nc": true, "behind": true, "w1": true, "b": true, "beside": false, "w6": false} {
		if got.Restless(edge) != want {
			t.Errorf("%s restless: %v, want %v", edge, !want, want)
		}
		if got.Settled(edge) == want {
			t.Errorf("%s settled: %v, want %v", edge, want, !want)
		}
	}
	s.Relays["k"].Form = "no"
	wire(s, "w2", "b.pos", "k.coil_pos", "6 mm2", 0.1)
	if still := circuit.New(s).Solve(circuit.Case{Mode: "use"}); still.Restless("behind", "k.coil") || !still.Settled("k.coil") {
		t.Error("restless at rest")
	}
}
