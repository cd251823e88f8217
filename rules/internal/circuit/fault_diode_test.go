package circuit_test

import (
	"math"
	"testing"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// A freewheel diode beside a short circuit carries none of it, in whichever
// corner; the figures are Ohm's law on the loop.
func TestFaultBesideFreewheelDiode(t *testing.T) {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 48, 20)
	s.Diodes["wheel"] = &schema.Diode{Base: base("diodes", "wheel")}
	s.Loads["l"] = &schema.Load{Base: base("loads", "l"), LoadKind: "led", PowerW: 1, AtV: 48}
	wire(s, "feed", "b.pos", "wheel.cathode", "2.5 mm2", 1)
	wire(s, "back", "b.neg", "wheel.anode", "2.5 mm2", 1)
	wire(s, "far", "wheel.cathode", "l.pos", "2.5 mm2", 20)
	wire(s, "home", "wheel.anode", "l.neg", "2.5 mm2", 20)
	n := circuit.New(s)
	a, _ := n.Node("l.pos")
	b, _ := n.Node("l.neg")
	for name, tc := range map[string]struct {
		k              circuit.FaultCase
		volts, ohm, at float64
	}{
		"greatest": {circuit.FaultCase{Greatest: true}, 1.2 * 48, 0.6 * 0.020, -10},
		"least":    {circuit.FaultCase{HotC: 90}, s.Batteries["b"].MinV, 2 * 0.020, 90},
	} {
		f, ok := n.Fault(a, b, tc.k)
		if !ok {
			t.Fatalf("%s: no fault current", name)
		}
		want := tc.volts / (tc.ohm + 42*7.98e-3*(1+0.00393*(tc.at-20)))
		near(t, name+" in all", f.A(), want, 1e-6)
		near(t, name+" through the feed", f.Through(n.Edge("feed")), want, 1e-4) // the blocked diode leaks microamperes
	}
}

// Of two packs behind a diode each, the other one does not feed a short before
// the first one's diode.
func TestFaultBeforeDiode(t *testing.T) {
	s := bench()
	for _, id := range []string{"b1", "b2"} {
		s.Batteries[id] = battery(id, "traction", 48, 20)
		d := "d" + id[1:]
		s.Diodes[d] = &schema.Diode{Base: base("diodes", d)}
		wire(s, "w"+id, id+".pos", d+".anode", "16 mm2", 1)
		wire(s, "r"+id, id+".neg", "bus.stud", "16 mm2", 1)
	}
	s.Studs["bus"], s.Studs["plus"] = &schema.Stud{Base: base("studs", "bus")}, &schema.Stud{Base: base("studs", "plus")}
	wire(s, "o1", "d1.cathode", "plus.stud", "16 mm2", 1)
	wire(s, "o2", "d2.cathode", "plus.stud", "16 mm2", 1)
	n := circuit.New(s)
	minus, _ := n.Node("bus.stud")
	loop := func(metres float64) float64 { return 0.6*0.020 + metres*1.21e-3*(1+0.00393*(-10-20)) }
	for at, want := range map[string]float64{
		"d1.anode":  1.2 * 48 / loop(2),       // its own pack, through w and r
		"plus.stud": 2 * 1.2 * 48 / (loop(3)), // both
	} {
		v, _ := n.Node(at)
		f, _ := n.Fault(v, minus, circuit.FaultCase{Greatest: true})
		if got := f.A(); math.Abs(got-want) > 1e-3*want {
			t.Errorf("at %s %.1f A, want %.1f A", at, got, want)
		}
	}
}
