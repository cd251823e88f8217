package circuit_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// shared is a 48 V pack behind a fuse of 100 A with a motor controller, and a
// converter, behind a fuse of 10 A, that feeds a lamp.
func shared(isolated bool) *schema.Spec {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 48, 20)
	fuse(s, "main", 100)
	fuse(s, "branch", 10)
	fuse(s, "lamps", 5)
	lamp(s, "l")
	s.Studs["plus"] = &schema.Stud{Base: base("studs", "plus")}
	s.Studs["minus"] = &schema.Stud{Base: base("studs", "minus")}
	s.Controllers["m"] = &schema.Controller{Base: base("controllers", "m"), MinV: 30, MaxV: 70}
	s.Converters["c"] = &schema.Converter{Base: base("converters", "c"), Isolated: isolated}
	s.Converters["c"].Output.NominalV, s.Converters["c"].Output.LimitA = 12, schema.Some(20)
	wire(s, "pack", "b.pos", "main.a", "35 mm2", 0.1)
	wire(s, "main_plus", "main.b", "plus.stud", "35 mm2", 1)
	wire(s, "drive_plus", "plus.stud", "m.pos", "35 mm2", 1)
	wire(s, "drive_minus", "m.neg", "minus.stud", "35 mm2", 1)
	wire(s, "main_minus", "minus.stud", "b.neg", "35 mm2", 1)
	wire(s, "branch_tap", "plus.stud", "branch.a", "4 mm2", 0.1)
	wire(s, "in_plus", "branch.b", "c.in_pos", "2.5 mm2", 1)
	wire(s, "in_minus", "c.in_neg", "minus.stud", "2.5 mm2", 1)
	wire(s, "out_tap", "c.out_pos", "lamps.a", "2.5 mm2", 0.1)
	wire(s, "lamp_plus", "lamps.b", "l.pos", "1.5 mm2", 2)
	wire(s, "lamp_minus", "l.neg", "c.out_neg", "1.5 mm2", 2)
	return s
}

func auxiliary(s *schema.Spec) {
	s.Batteries["aux"] = battery("aux", "auxiliary", 12, 10)
	fuse(s, "house", 30)
	wire(s, "aux_plus", "aux.pos", "house.a", "4 mm2", 0.1)
	wire(s, "house_plus", "house.b", "c.out_pos", "4 mm2", 1)
	wire(s, "aux_minus", "aux.neg", "c.out_neg", "4 mm2", 1)
}

func TestSharedNegative(t *testing.T) {
	type guarded map[string]string // the fuse that protects each conductor, "" for one with no guard
	tests := []struct {
		name   string
		reason string
		spec   func() *schema.Spec
		source string
		want   guarded
	}{
		{
			name:   "the lamp's return is not the pack's",
			reason: "nothing can bring the pack's positive side to it: it is guarded against the converter alone",
			spec:   func() *schema.Spec { return shared(false) },
			source: "b",
			want:   guarded{"lamp_minus": "", "in_minus": "branch", "main_minus": "main"},
		},
		{
			name:   "the lamp's return is the converter's",
			reason: "and the traction cables return nothing of the converter",
			spec:   func() *schema.Spec { return shared(false) },
			source: "c",
			want:   guarded{"lamp_minus": "lamps", "drive_minus": "", "main_minus": ""},
		},
		{
			name:   "a lamp that returns to the traction side",
			reason: "it makes the converter's input lead the lamp's return too, but not the lamp's lead the pack's",
			spec: func() *schema.Spec {
				s := shared(false)
				s.Wires["lamp_minus"].To = "minus.stud"
				return s
			},
			source: "b",
			want:   guarded{"lamp_minus": "", "in_minus": "branch"},
		},
		{
			name:   "a lead to the chassis is guarded against the pack",
			reason: "any positive conductor of the pack may touch the chassis",
			spec: func() *schema.Spec {
				s := shared(false)
				s.Wires["lamp_minus"].To = schema.Chassis
				wire(s, "strap", "c.out_neg", schema.Chassis, "4 mm2", 1)
				return s
			},
			source: "b",
			want:   guarded{"lamp_minus": "", "strap": "main"},
		},
		{
			name:   "a link between the negatives carries what passes where the positives meet",
			reason: "the converter that fails between its input and its output",
			spec: func() *schema.Spec {
				s := shared(true)
				auxiliary(s)
				wire(s, "link", "aux.neg", "minus.stud", "4 mm2", 1)
				return s
			},
			source: "b",
			want:   guarded{"link": "branch", "aux_minus": "branch", "lamp_minus": ""},
		},
		{
			name:   "the lower network drives nothing through the link",
			reason: "between the two positives the current flows to the lower one",
			spec: func() *schema.Spec {
				s := shared(true)
				auxiliary(s)
				wire(s, "link", "aux.neg", "minus.stud", "4 mm2", 1)
				return s
			},
			source: "aux",
			want:   guarded{"link": "", "main_minus": "", "lamp_minus": "lamps", "house_plus": "house"},
		},
		{
			name:   "a key with poles in both networks is a place where they meet",
			reason: "the fuse of the pole on the higher side bounds what flows",
			spec: func() *schema.Spec {
				s := shared(true)
				auxiliary(s)
				delete(s.Converters, "c")
				for _, id := range []string{"in_plus", "in_minus", "out_tap"} {
					delete(s.Wires, id)
				}
				s.Studs["c"] = &schema.Stud{Base: base("studs", "c")}
				s.Wires["house_plus"].To = "lamps.a"
				s.Wires["aux_minus"].To, s.Wires["lamp_minus"].To = "c.stud", "c.stud"
				fuse(s, "key_fuse", 3)
				s.Switches["key"] = &schema.Switch{Base: base("switches", "key"), Poles: map[string]*schema.Pole{"drive": {}, "house": {}}}
				wire(s, "key_tap", "plus.stud", "key_fuse.a", "2.5 mm2", 0.1)
				wire(s, "key_drive", "key_fuse.b", "key.drive_a", "1.5 mm2", 1)
				wire(s, "key_enable", "key.drive_b", "m.enable", "1.5 mm2", 1)
				wire(s, "key_house", "lamps.b", "key.house_a", "1.5 mm2", 1)
				s.Wires["lamp_plus"].From = "key.house_b"
				wire(s, "link", "c.stud", "minus.stud", "4 mm2", 1)
				return s
			},
			source: "b",
			want:   guarded{"link": "key_fuse"},
		},
		{
			name:   "a bleed resistor of the higher network is no feed of the lower one",
			reason: "what it joins to the shared negative side is the pack's own",
			spec: func() *schema.Spec {
				s := shared(true)
				auxiliary(s)
				wire(s, "link", "aux.neg", "minus.stud", "4 mm2", 1)
				s.Resistors["bleed"] = &schema.Resistor{Base: base("resistors", "bleed"), Role: "bleed", ResistanceOhm: 20000}
				wire(s, "bleed_plus", "bleed.a", "m.pos", "1.5 mm2", 0.1)
				wire(s, "bleed_minus", "bleed.b", "m.neg", "1.5 mm2", 0.1)
				return s
			},
			source: "aux",
			want:   guarded{"drive_minus": "", "bleed_minus": "", "main_minus": "", "lamp_minus": "lamps"},
		},
		{
			name:   "two networks whose positives meet nowhere",
			reason: "then it is not known where, and any feed of the pack counts",
			spec: func() *schema.Spec {
				s := shared(true)
				auxiliary(s)
				for _, id := range []string{"in_plus", "in_minus", "out_tap"} {
					delete(s.Wires, id)
				}
				s.Wires["house_plus"].To = "lamps.a"
				wire(s, "link", "aux.neg", "minus.stud", "4 mm2", 1)
				return s
			},
			source: "b",
			want:   guarded{"link": "main"},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			guards := circuit.New(test.spec()).Guards()
			got := guarded{}
			for id := range test.want {
				got[id] = ""
				for _, g := range guards[id] {
					if g.Source.ID == test.source {
						got[id] = g.Fuse()
						if g.Fuse() == "" {
							got[id] = "none"
						}
					}
				}
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("%s\n(-want +got):\n%s", test.reason, diff)
			}
		})
	}
}
