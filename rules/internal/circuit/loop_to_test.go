package circuit_test

import (
	"math"
	"path/filepath"
	"testing"

	"example.org/headroom/rules/internal/circuit"
)

// Two strings of two batteries each onto one controller: leads of 1 m and 3 m of 50 mm2
// with a fuse each, links of 0.5 m, and a trunk of 2 m with a shunt of 50 mV at 200 A. At
// 20 C 50 mm2 has 0.386 mOhm/m (IEC 60228, class 5), a fuse of 100 A and 80 mV 0.8 mOhm.
func TestLoopToWithStringsInParallel(t *testing.T) {
	const vehicle = `
headroom: 1
vehicle: {name: strings, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries:
  a1: {role: traction, min_V: 20, nominal_V: 24, max_V: 29}
  a2: {role: traction, min_V: 20, nominal_V: 24, max_V: 29}
  b1: {role: traction, min_V: 20, nominal_V: 24, max_V: 29}
  b2: {role: traction, min_V: 20, nominal_V: 24, max_V: 29}
fuses:
  fa: {class: bolt-down, rated_A: 100, drop_mV: 80}
  fb: {class: bolt-down, rated_A: 100, drop_mV: 80}
shunts: {sh: {rated_A: 200, drop_mV: 50}}
studs: {plus: {}, minus: {}}
contactors: {k: {contact: {carry_A: 200}, coil: {nominal_V: 48, operate_V: 30, release_V: 5, resistance_Ohm: 300}}}
controllers: {drive: {min_V: 36, max_V: 80, capacitance_uF: 1000}}
wires:
  la: {from: a1.pos, to: a2.neg, size: 50 mm2, length_m: 0.5}
  lb: {from: b1.pos, to: b2.neg, size: 50 mm2, length_m: 0.5}
  a: {from: a2.pos, to: fa.a, size: 50 mm2, length_m: 0.4}
  a_plus: {from: fa.b, to: plus.stud, size: 50 mm2, length_m: 0.1}
  b: {from: b2.pos, to: fb.a, size: 50 mm2, length_m: 2}
  b_plus: {from: fb.b, to: plus.stud, size: 50 mm2, length_m: 0.5}
  a_minus: {from: a1.neg, to: minus.stud, size: 50 mm2, length_m: 0.5}
  b_minus: {from: b1.neg, to: minus.stud, size: 50 mm2, length_m: 0.5}
  w1: {from: plus.stud, to: k.a, size: 50 mm2, length_m: 0.5}
  w2: {from: k.b, to: drive.pos, size: 50 mm2, length_m: 0.5}
  w3: {from: drive.neg, to: sh.b, size: 50 mm2, length_m: 0.5}
  w4: {from: sh.a, to: minus.stud, size: 50 mm2, length_m: 0.5}
  c1: {from: plus.stud, to: k.coil_pos, size: 1.5 mm2, length_m: 0.1}
  c2: {from: k.coil_neg, to: minus.stud, size: 1.5 mm2, length_m: 0.1}
modes: {ready: {}}
`
	path := filepath.Join(t.TempDir(), "vehicle.yaml")
	write(t, path, vehicle)
	n := circuit.New(loadVehicle(t, path))
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-3*want) {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	l, ok := n.LoopTo(n.Edge("drive"), nil)
	if !ok || len(l.Strings) != 2 || len(l.Leads) != 2 || len(l.Contacts) != 1 {
		t.Fatalf("loop %+v, %v; want two strings through one contact", l, ok)
	}
	near("trunk, mOhm", 1000*l.Ohm, 2*0.386+0.25)
	near("leads of the first, mOhm", 1000*l.LeadOhm(0), (1+0.5)*0.386+0.8)
	near("leads of the second, mOhm", 1000*l.LeadOhm(1), (3+0.5)*0.386+0.8)
	near("conductor of as much inductance, m", l.AllLengthM(), 2+1/(1/1.5+1/3.5))

	// With one of them cut off all of its way is the trunk, the link included.
	l, ok = n.LoopTo(n.Edge("drive"), func(e *circuit.Edge) bool { return e.ID != "b" })
	if !ok || len(l.Strings) != 1 {
		t.Fatalf("loop %+v, %v; want one string", l, ok)
	}
	near("all of one string's, mOhm", 1000*l.Ohm, (2+1+0.5)*0.386+0.25+0.8)
	near("all of one string's, m", l.AllLengthM(), 3.5)
}
