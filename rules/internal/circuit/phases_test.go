package circuit_test

import (
	"math"
	"testing"
)

func TestPhaseOf(t *testing.T) {
	const drive = `
headroom: 1
vehicle: {name: x, use: off-road, chassis: isolated}
modes: {on: {}}
batteries: {pack: {role: traction, min_V: 44, nominal_V: 48, max_V: 58}}
controllers: {drive: {min_V: 36, max_V: 68, phase_continuous_A: 100}}
motors: {m: {kind: induction}}
wires:
  w1: {from: pack.pos, to: drive.pos, size: 50 mm2, length_m: 1}
  w2: {from: drive.neg, to: pack.neg, size: 50 mm2, length_m: 1}
  v: {from: drive.v, to: m.v, size: 50 mm2, length_m: 1}
  w: {from: drive.w, to: m.w, size: 50 mm2, length_m: 1}
`
	for _, x := range []struct {
		name, wires string
		want        map[string]float64 // shares; -1 for an edge of no phase
	}{
		{"one cable", `
  u: {from: drive.u, to: m.u, size: 50 mm2, length_m: 1}
`, map[string]float64{"u": 1, "v": 1, "w1": -1, "drive": -1}},
		// The one that is three times as long takes a quarter.
		{"two in parallel", `
  u: {from: drive.u, to: m.u, size: 10 mm2, length_m: 3}
  u2: {from: drive.u, to: m.u, size: 10 mm2, length_m: 1}
`, map[string]float64{"u": 0.25, "u2": 0.75}},
		{"a branch that ends nowhere", `
  u: {from: drive.u, to: joint.stud, size: 50 mm2, length_m: 1}
  u2: {from: joint.stud, to: m.u, size: 50 mm2, length_m: 1}
  tap: {from: joint.stud, to: end.stud, size: 1 mm2, length_m: 1}
studs: {joint: {}, end: {}}
`, map[string]float64{"u": 1, "u2": 1, "tap": 0}},
		{"through a shunt", `
  u: {from: drive.u, to: s.a, size: 50 mm2, length_m: 1}
  u2: {from: s.b, to: m.u, size: 50 mm2, length_m: 1}
shunts: {s: {rated_A: 100, drop_mV: 50}}
`, map[string]float64{"u": 1, "u2": 1, "s": 1}},
		{"joined to the supply", `
  u: {from: drive.u, to: m.u, size: 50 mm2, length_m: 1}
  wrong: {from: drive.u, to: drive.pos, size: 50 mm2, length_m: 1}
`, map[string]float64{"u": -1, "w1": -1, "v": 1}},
	} {
		t.Run(x.name, func(t *testing.T) {
			n := spec(t, drive+x.wires)
			for id, want := range x.want {
				p, ok := n.PhaseOf(n.Edge(id))
				switch {
				case want < 0 && ok:
					t.Errorf("%s is in a phase of %s", id, p.Controller)
				case want >= 0 && (!ok || p.Controller != "drive" || math.Abs(p.Share-want) > 1e-4):
					t.Errorf("%s carries %v of a phase of %q, want %v", id, p.Share, p.Controller, want)
				}
			}
		})
	}
}
