package circuit_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func fuse(s *schema.Spec, id string, amperes float64) {
	s.Fuses[id] = &schema.Fuse{Base: base("fuses", id), Class: "bolt-down", RatedA: amperes}
}

func lamp(s *schema.Spec, id string) {
	s.Loads[id] = &schema.Load{Base: base("loads", id), LoadKind: "filament", PowerW: 21, AtV: 12}
}

// summary is what a test compares of a guard.
type summary struct {
	Side     circuit.Side
	Fuse     string
	Exposed  bool
	UnfusedM float64
	AllowedM float64
	Resistor string
}

// guardsOf returns the guards of all conductors against one source.
func guardsOf(s *schema.Spec, source string) map[string]summary {
	out := map[string]summary{}
	for id, all := range circuit.New(s).Guards() {
		for _, g := range all {
			if g.Source.ID == source {
				out[id] = summary{g.Side, g.Fuse(), g.Exposed, math.Round(1000*g.UnfusedM) / 1000, g.AllowedM, g.Resistor}
			}
		}
	}
	return out
}

func TestGuards(t *testing.T) {
	tests := []struct {
		name   string
		reason string
		build  func(s *schema.Spec)
		want   map[string]summary
	}{
		{
			name:   "one fuse in the positive lead protects both poles",
			reason: "a short flows round the loop, so the return needs no fuse of its own",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				fuse(s, "f", 10)
				lamp(s, "l")
				wire(s, "w1", "b.pos", "f.a", "6 mm2", 0.1)
				wire(s, "w2", "f.b", "l.pos", "1.5 mm2", 2)
				wire(s, "w3", "l.neg", "b.neg", "1.5 mm2", 2)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Exposed: true, UnfusedM: 0.1, AllowedM: 0.178},
				"w2": {Side: circuit.Positive, Fuse: "f"},
				"w3": {Side: circuit.Negative, Fuse: "f"},
			},
		},
		{
			name:   "a thin return is protected by the fuse of its own branch",
			reason: "returns are judged with their branch, not with the main fuse alone",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				fuse(s, "main", 100)
				fuse(s, "branch", 10)
				lamp(s, "l")
				s.Studs["plus"] = &schema.Stud{Base: base("studs", "plus")}
				s.Studs["minus"] = &schema.Stud{Base: base("studs", "minus")}
				s.Controllers["m"] = &schema.Controller{Base: base("controllers", "m"), MinV: 8, MaxV: 18}
				wire(s, "w1", "b.pos", "main.a", "35 mm2", 0.1)
				wire(s, "w2", "main.b", "plus.stud", "35 mm2", 1)
				wire(s, "w3", "plus.stud", "m.pos", "35 mm2", 1)
				wire(s, "w4", "m.neg", "minus.stud", "35 mm2", 1)
				wire(s, "w5", "minus.stud", "b.neg", "35 mm2", 1)
				wire(s, "w6", "plus.stud", "branch.a", "6 mm2", 0.1)
				wire(s, "w7", "branch.b", "l.pos", "1.5 mm2", 2)
				wire(s, "w8", "l.neg", "minus.stud", "1.5 mm2", 2)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Exposed: true, UnfusedM: 0.1, AllowedM: 0.178},
				"w2": {Side: circuit.Positive, Fuse: "main"},
				"w3": {Side: circuit.Positive, Fuse: "main"},
				"w4": {Side: circuit.Negative, Fuse: "main"},
				"w5": {Side: circuit.Negative, Fuse: "main"},
				"w6": {Side: circuit.Positive, Fuse: "main"},
				"w7": {Side: circuit.Positive, Fuse: "branch"},
				"w8": {Side: circuit.Negative, Fuse: "branch"},
			},
		},
		{
			name:   "a fuse in the negative lead protects the positive one",
			reason: "one fuse in the loop is enough, in either pole",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				fuse(s, "f", 10)
				lamp(s, "l")
				wire(s, "w1", "b.pos", "l.pos", "1.5 mm2", 2)
				wire(s, "w2", "l.neg", "f.a", "1.5 mm2", 2)
				wire(s, "w3", "f.b", "b.neg", "1.5 mm2", 0.1)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Fuse: "f"},
				"w2": {Side: circuit.Negative, Fuse: "f"},
				// Between fuse and battery only the battery's own lead is left.
				"w3": {Side: circuit.Negative, Exposed: true, UnfusedM: 0.1, AllowedM: 0.178},
			},
		},
		{
			name:   "a sheathed lead on the battery terminal may be long on a boat",
			reason: "1.829 m sheathed and directly on the terminal, 1.016 m elsewhere, 0.178 m bare, counted from the battery",
			build: func(s *schema.Spec) {
				s.Vehicle.Use = "boat"
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				fuse(s, "f", 10)
				lamp(s, "l")
				s.Studs["x"] = &schema.Stud{Base: base("studs", "x")}
				wire(s, "w1", "b.pos", "x.stud", "6 mm2", 0.9)
				wire(s, "w2", "x.stud", "f.a", "6 mm2", 0.3)
				s.Wires["w1"].Sheathed, s.Wires["w2"].Sheathed = true, true
				wire(s, "w3", "f.b", "l.pos", "1.5 mm2", 2)
				wire(s, "w4", "l.neg", "b.neg", "1.5 mm2", 2)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Exposed: true, UnfusedM: 0.9, AllowedM: 1.829},
				"w2": {Side: circuit.Positive, Exposed: true, UnfusedM: 1.2, AllowedM: 1.016},
				"w3": {Side: circuit.Positive, Fuse: "f"},
				"w4": {Side: circuit.Negative, Fuse: "f"},
			},
		},
		{
			name:   "and nowhere else",
			reason: "the 1.829 m are those of small craft; a road vehicle has 1.016 m",
			build: func(s *schema.Spec) {
				s.Vehicle.Use = "road"
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				fuse(s, "f", 10)
				lamp(s, "l")
				wire(s, "w1", "b.pos", "f.a", "6 mm2", 1.2)
				s.Wires["w1"].Sheathed = true
				wire(s, "w2", "f.b", "l.pos", "1.5 mm2", 2)
				wire(s, "w3", "l.neg", "b.neg", "1.5 mm2", 2)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Fuse: "", Exposed: true, UnfusedM: 1.2, AllowedM: 1.016},
				"w2": {Side: circuit.Positive, Fuse: "f"},
				"w3": {Side: circuit.Negative, Fuse: "f"},
			},
		},
		{
			name:   "a resistor protects from its own end",
			reason: "behind a pre-charge resistor no fuse is needed; the lead before it is bare",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 72, 20)
				s.Resistors["r"] = &schema.Resistor{Base: base("resistors", "r"), Role: "precharge", ResistanceOhm: 100}
				s.Controllers["m"] = &schema.Controller{Base: base("controllers", "m"), MinV: 40, MaxV: 100}
				wire(s, "w1", "b.pos", "r.a", "1.5 mm2", 0.5)
				wire(s, "w2", "r.b", "m.pos", "1.5 mm2", 0.5)
				wire(s, "w3", "m.neg", "b.neg", "1.5 mm2", 0.5)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Exposed: true, UnfusedM: 0.5, AllowedM: 0.178},
				"w2": {Side: circuit.Positive, Resistor: "r"},
				"w3": {Side: circuit.Negative, Exposed: true, UnfusedM: 0.5, AllowedM: 0.178},
			},
		},
		{
			name:   "a fuse between two batteries in series protects the string",
			reason: "a mid-pack fuse counts",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				s.Batteries["c"] = battery("c", "traction", 12, 10)
				fuse(s, "f", 10)
				lamp(s, "l")
				wire(s, "w1", "b.pos", "l.pos", "1.5 mm2", 2)
				wire(s, "w2", "l.neg", "c.neg", "1.5 mm2", 2)
				wire(s, "w3", "c.pos", "f.a", "6 mm2", 0.1)
				wire(s, "w4", "f.b", "b.neg", "6 mm2", 0.1)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Fuse: "f"},
				"w2": {Side: circuit.Negative, Fuse: "f"},
				"w3": {Side: circuit.Negative, Fuse: "f"},
				"w4": {Side: circuit.Negative, Exposed: true, UnfusedM: 0.1, AllowedM: 0.178},
			},
		},
		{
			name:   "a pre-charge resistor in the negative side, beside a second pack",
			reason: "no loop leads back over the contactor to the second pack, and all others hold the main fuse",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 48, 10)
				s.Batteries["c"] = battery("c", "traction", 48, 10)
				s.Resistors["r"] = &schema.Resistor{Base: base("resistors", "r"), Role: "precharge", ResistanceOhm: 470}
				s.Contactors["k"] = &schema.Contactor{Base: base("contactors", "k")}
				s.Controllers["m"] = &schema.Controller{Base: base("controllers", "m"), MinV: 40, MaxV: 100}
				fuse(s, "f", 100)
				wire(s, "w1", "b.pos", "f.a", "50 mm2", 0.1)
				wire(s, "w2", "f.b", "m.pos", "50 mm2", 0.5)
				wire(s, "w3", "m.neg", "k.b", "50 mm2", 0.5)
				wire(s, "w4", "k.a", "c.neg", "50 mm2", 0.5)
				wire(s, "w5", "k.a", "r.a", "2.5 mm2", 0.1)
				wire(s, "w6", "r.b", "k.b", "2.5 mm2", 0.1)
				wire(s, "w7", "c.pos", "b.pos", "50 mm2", 0.02)
				wire(s, "w8", "c.neg", "b.neg", "50 mm2", 0.02)
			},
			want: map[string]summary{
				"w1": {Side: circuit.Positive, Exposed: true, UnfusedM: 0.1, AllowedM: 0.178},
				"w2": {Side: circuit.Positive, Fuse: "f"},
				"w3": {Side: circuit.Negative, Fuse: "f"},
				"w4": {Side: circuit.Negative, Fuse: "f"},
				"w5": {Side: circuit.Negative, Fuse: "f"},
				"w6": {Side: circuit.Negative, Fuse: "f"},
				"w7": {Side: circuit.Positive, Exposed: true, UnfusedM: 0.02, AllowedM: 0.178},
				"w8": {Side: circuit.Negative, Exposed: true, UnfusedM: 0.02, AllowedM: 0.178},
			},
		},
		{
			name:   "a spare lead on which nothing hangs, and a fuse in the negative lead",
			reason: "a short circuit of it goes home by the same return as all others",
			build: func(s *schema.Spec) {
				s.Batteries["b"] = battery("b", "traction", 12, 10)
				fuse(s, "f", 10)
				lamp(s, "l")
				s.Studs["end"] = &schema.Stud{Base: base("studs", "end")}
				wire(s, "w1", "b.pos", "l.pos", "1.5 mm2", 2)
				wire(s, "w2", "l.neg", "f.a", "1.5 mm2", 2)
				wire(s, "w3", "f.b", "b.neg", "1.5 mm2", 0.1)
				wire(s, "lead", "l.pos", "end.stud", "1.5 mm2", 1)
			},
			want: map[string]summary{
				"w1":   {Side: circuit.Positive, Fuse: "f"},
				"w2":   {Side: circuit.Negative, Fuse: "f"},
				"w3":   {Side: circuit.Negative, Exposed: true, UnfusedM: 0.1, AllowedM: 0.178},
				"lead": {Side: circuit.Positive, Fuse: "f"},
			},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := bench()
			test.build(s)
			if diff := cmp.Diff(test.want, guardsOf(s, "b")); diff != "" {
				t.Errorf("%s\n(-want +got):\n%s", test.reason, diff)
			}
		})
	}
}
