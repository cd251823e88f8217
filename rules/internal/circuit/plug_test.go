package circuit_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// plugged is a battery of 12 V that feeds 12 Ohm through a plug of two contacts of 1 mOhm
// each at the end of their life, a third of which is the pilot of a contactor's coil.
func plugged() *schema.Spec {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 12, 20)
	s.Resistors["r"] = &schema.Resistor{Base: base("resistors", "r"), Role: "load", ResistanceOhm: 12}
	s.Connectors = map[string]*schema.Connector{"p": {Base: base("connectors", "p"), Contacts: make([]schema.PlugContact, 3),
		ResistanceUOhm: schema.Some(1000), Pilot: &schema.Pilot{Contacts: []int{3}}}}
	s.Contactors["k"] = &schema.Contactor{Base: base("contactors", "k"), Coil: schema.Coil{NominalV: 12, ResistanceOhm: schema.Some(100)}}
	for id, ends := range map[string][2]string{"w1": {"b.pos", "p.a1"}, "w2": {"p.b1", "r.a"}, "w3": {"r.b", "p.b2"}, "w4": {"p.a2", "b.neg"},
		"c1": {"b.pos", "p.a3"}, "c2": {"p.b3", "k.coil_pos"}, "c3": {"k.coil_neg", "b.neg"}} {
		wire(s, id, ends[0], ends[1], "2.5 mm2", 0.1)
	}
	s.Modes["apart"] = &schema.Mode{ID: "apart", Unmated: []string{"p"}}
	return s
}

func TestPlug(t *testing.T) {
	n := circuit.New(plugged())
	mated, apart := n.Solve(circuit.Case{Mode: "use"}), n.Solve(circuit.Case{Mode: "apart"})
	near(t, "current mated", mated.Current("p.1"), 1, 0.01)
	near(t, "current in mOhm times that", 1000*(mated.V(n.Edge("p.1").From)-mated.V(n.Edge("p.1").To)), mated.Current("p.1"), 1e-3)
	if i := apart.Current("p.1"); i != 0 {
		t.Errorf("%v A through a parted plug", i)
	}
	if !mated.Closed("p.1") || apart.Closed("p.1") {
		t.Errorf("closed: mated %v, parted %v", mated.Closed("p.1"), apart.Closed("p.1"))
	}
	if !n.Dead("r", circuit.Case{Mode: "apart"}) || n.Dead("r", circuit.Case{Mode: "use"}) {
		t.Error("what hangs on a parted plug is dead, and on a mated one it is not")
	}
	if !mated.Operated("k") || apart.Operated("k") {
		t.Errorf("the contactor of the pilot: mated %v, parted %v", mated.Operated("k"), apart.Operated("k"))
	}
	forced := n.Solve(circuit.Case{Mode: "use", Open: "p.2"})
	if i := forced.Current("p.1"); i != 0 {
		t.Errorf("%v A with one contact forced open", i)
	}
}

func TestPilotedBy(t *testing.T) {
	n := circuit.New(plugged())
	if got := n.PilotedBy([]*circuit.Edge{n.Edge("p.3")}); !cmp.Equal(got, []circuit.Piloted{{ID: "k"}}) {
		t.Errorf("by its feed: %+v", got)
	}
	s := plugged()
	s.Wires["c1"].To, s.Wires["c2"].From = "k.coil_pos", "b.pos"
	s.Wires["c2"].To, s.Wires["c3"].To = "p.a3", "b.neg"
	s.Wires["c2"].From, s.Wires["c3"].From = "k.coil_neg", "p.b3"
	n = circuit.New(s)
	if got := n.PilotedBy([]*circuit.Edge{n.Edge("p.3")}); !cmp.Equal(got, []circuit.Piloted{{ID: "k", InReturn: true}}) {
		t.Errorf("by its return: %+v", got)
	}
	if got := n.PilotedBy([]*circuit.Edge{n.Edge("p.1")}); len(got) != 0 {
		t.Errorf("a power contact opens no coil: %+v", got)
	}
}

// The contact of an inlet is closed unless a charger on its cable is connected.
func TestInhibit(t *testing.T) {
	s := plugged()
	s.Connectors["inlet"] = &schema.Connector{Base: base("connectors", "inlet"), Use: "inlet", Contacts: make([]schema.PlugContact, 2), Inhibit: true}
	s.Chargers["c"] = &schema.Charger{Base: base("chargers", "c"), MaxV: 14, MaxA: 5}
	wire(s, "i1", "c.pos", "inlet.a1", "2.5 mm2", 0.1)
	wire(s, "i2", "c.neg", "inlet.a2", "2.5 mm2", 0.1)
	wire(s, "i3", "inlet.b1", "b.pos", "2.5 mm2", 0.1)
	wire(s, "i4", "inlet.b2", "b.neg", "2.5 mm2", 0.1)
	s.Wires["c2"].To = "inlet.inhibit_a"
	wire(s, "c4", "inlet.inhibit_b", "k.coil_pos", "2.5 mm2", 0.1)
	s.Modes["charging"] = &schema.Mode{ID: "charging", Connected: []string{"c"}}
	n := circuit.New(s)
	if !n.Solve(circuit.Case{Mode: "use"}).Operated("k") || n.Solve(circuit.Case{Mode: "charging"}).Operated("k") {
		t.Error("the contactor must be in without the charger, and out with it")
	}
	if got := n.InletOf("c"); got != "inlet" {
		t.Errorf("inlet of the charger: %q", got)
	}
}

// A charge port is joined to the battery's pole; what hangs on it is found.
func TestChargePort(t *testing.T) {
	s := plugged()
	s.Batteries["b"].BMS = &schema.BatterySwitch{Port: "separate", Side: "negative"}
	n := circuit.New(s)
	if got := n.OnChargePort("b"); len(got) != 0 {
		t.Errorf("nothing hangs on it: %v", got)
	}
	s.Wires["c3"].To = "b.charge"
	n = circuit.New(s)
	if got := n.OnChargePort("b"); len(got) != 1 || got[0].ID != "k.coil" {
		t.Errorf("the coil hangs on it: %v", got)
	}
	if !n.Solve(circuit.Case{Mode: "use"}).Operated("k") {
		t.Error("the coil is fed through the port")
	}
}
