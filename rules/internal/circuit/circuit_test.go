package circuit_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// bench returns a spec with the policy's defaults and nothing else.
func bench() *schema.Spec {
	return &schema.Spec{
		Vehicle: schema.Vehicle{Name: "bench", Use: "off-road", Chassis: "isolated", AmbientC: schema.Span{Min: -10, Max: 40}},
		Policy: schema.Policy{
			TerminalMaxC: 90, BatteryResistanceMin: 0.6, BatteryResistanceMax: 2, CoilRiseK: 50, CoilLimitC: 130,
			DiodeForwardV: 0.8, ContactDropMV: 75, FuseDropMV: 100, ConverterLimitFactor: 1.1,
			ConverterEfficiency: 85, ConverterOutputMOhm: 1, LiveV: 5, PrechargeBypassA: 1,
			FuseDistanceM: 0.178, FuseDistanceSheathedM: 1.016, FuseDistanceAtBatteryM: 1.829,
		},
		Batteries: map[string]*schema.Battery{}, Fuses: map[string]*schema.Fuse{}, Disconnects: map[string]*schema.Disconnect{},
		Contactors: map[string]*schema.Contactor{}, Relays: map[string]*schema.Relay{}, Resistors: map[string]*schema.Resistor{},
		Shunts: map[string]*schema.Shunt{}, Switches: map[string]*schema.Switch{}, Converters: map[string]*schema.Converter{},
		Chargers: map[string]*schema.Charger{}, Controllers: map[string]*schema.Controller{}, Loads: map[string]*schema.Load{},
		Diodes: map[string]*schema.Diode{}, Studs: map[string]*schema.Stud{}, Wires: map[string]*schema.Wire{},
		Modes: map[string]*schema.Mode{"use": {ID: "use"}},
	}
}

func wire(s *schema.Spec, id, from, to, size string, length float64) {
	s.Wires[id] = &schema.Wire{
		Conductor: schema.Conductor{Base: schema.Base{ID: id, Kind: "wires"}, From: from, To: to},
		Size:      size, LengthM: length,
	}
}

func base(kind, id string) schema.Base { return schema.Base{Kind: kind, ID: id} }

func battery(id, role string, volts, mOhm float64) *schema.Battery {
	return &schema.Battery{Base: base("batteries", id), Role: role, MinV: 0.8 * volts, NominalV: volts, MaxV: 1.2 * volts,
		ResistanceMOhm: schema.Range{Typ: schema.Some(mOhm)}}
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)+1e-9) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, relative)
	}
}

// A battery of 12 V and 20 mOhm feeds 24 W of regulated load over 2 x 4 m of
// 2.5 mm2 (IEC 60228 class 5: 7.98 mOhm/m): V = (E + sqrt(E^2 - 4PR)) / 2.
func TestConstantPower(t *testing.T) {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 12, 20)
	s.Loads["l"] = &schema.Load{Base: base("loads", "l"), LoadKind: "led", PowerW: 24, AtV: 12}
	s.Modes["use"].On = []string{"l"}
	wire(s, "w1", "b.pos", "l.pos", "2.5 mm2", 4)
	wire(s, "w2", "b.neg", "l.neg", "2.5 mm2", 4)
	got := circuit.New(s).Solve(circuit.Case{Mode: "use"})
	r := 0.020 + 2*4*7.98e-3
	want := (12 + math.Sqrt(144-4*24*r)) / 2
	v, ok := got.Across("l.pos", "l.neg")
	if !ok || got.Failed != "" {
		t.Fatalf("not solved: %q", got.Failed)
	}
	near(t, "V", v, want, 1e-9)
	near(t, "I", got.Current("w1"), 24/want, 1e-9)
}

// Above V^2/4R no operating point is left.
func TestCollapse(t *testing.T) {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 12, 500)
	s.Loads["l"] = &schema.Load{Base: base("loads", "l"), LoadKind: "led", PowerW: 80, AtV: 12}
	s.Modes["use"].On = []string{"l"}
	wire(s, "w1", "b.pos", "l.pos", "70 mm2", 0.1)
	wire(s, "w2", "b.neg", "l.neg", "70 mm2", 0.1)
	got := circuit.New(s).Solve(circuit.Case{Mode: "use"})
	if diff := cmp.Diff([]string{"l"}, got.Collapsed); diff != "" || got.Failed != "" {
		t.Errorf("collapsed (-want +got):\n%s failed %q", diff, got.Failed)
	}
}

func TestFaultLevel(t *testing.T) {
	s := bench()
	s.Batteries["b"] = battery("b", "traction", 72, 28)
	wire(s, "w1", "b.pos", "m.pos", "35 mm2", 2)
	wire(s, "w2", "b.neg", "m.neg", "35 mm2", 2)
	s.Controllers["m"] = &schema.Controller{Base: base("controllers", "m"), MinV: 40, MaxV: 100}
	n := circuit.New(s)
	a, _ := n.Node("m.pos")
	b, _ := n.Node("m.neg")
	f, ok := n.Fault(a, b, circuit.FaultCase{Greatest: true})
	if !ok {
		t.Fatal("no fault current")
	}
	r := 0.6*0.028 + 4*0.554e-3*(1+0.00393*(-10-20))
	near(t, "I", f.A(), 1.2*72/r, 1e-6)
	e := n.Edge("w2")
	near(t, "through w2", f.Through(e), f.A(), 1e-6)
}

// The worked example WE19 of testdata/published: 30 cells of 3.2 V and 0.5 mOhm with 2
// mOhm between them, and 3 m of 35 mm2 at 20 C. Circuit theory; IEC 60228.
func TestPublishedShortCircuit(t *testing.T) {
	n := spec(t, `
headroom: 1
vehicle: {name: fault, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {p: {role: traction, min_V: 80, nominal_V: 90, max_V: 96, resistance_mOhm: {min: 17, typ: 17, max: 17}}}
controllers: {c: {min_V: 60, max_V: 120}}
wires:
  out: {from: p.pos, to: c.pos, size: 35 mm2, length_m: 1.5}
  back: {from: c.neg, to: p.neg, size: 35 mm2, length_m: 1.5}
modes: {}
`)
	c := n.Edge("c")
	f, ok := n.Fault(c.From, c.To, circuit.FaultCase{Greatest: true})
	if !ok {
		t.Fatal("no fault current")
	}
	near(t, "prospective short circuit", f.A(), 5144.14, 0.005)
}
