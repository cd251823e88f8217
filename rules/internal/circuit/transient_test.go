package circuit_test

import (
	"math"
	"path/filepath"
	"testing"

	"example.org/headroom/rules/internal/circuit"
)

// bank is a battery, a resistor and a capacitor, with what a test adds.
const charging = `
headroom: 1
vehicle: {name: Charging, use: off-road, chassis: isolated}
batteries: {p: {role: traction, min_V: 80, nominal_V: 96, max_V: 110, resistance_mOhm: {min: 0.001, typ: 0.001, max: 0.001}}}
resistors: {r: {role: precharge, resistance_Ohm: 100}}
controllers: {c: {min_V: 60, max_V: 120, capacitance_uF: 4700}}
wires:
  w1: {from: p.pos, to: r.a, size: 95 mm2, length_m: 0.01}
  w2: {from: r.b, to: c.pos, size: 95 mm2, length_m: 0.01}
  w3: {from: c.neg, to: p.neg, size: 95 mm2, length_m: 0.01}
modes: {on: {}}
`

func spec(t *testing.T, text string) *circuit.Network {
	t.Helper()
	path := filepath.Join(t.TempDir(), "vehicle.yaml")
	write(t, path, text)
	return circuit.New(loadVehicle(t, path))
}

// Worked example of a pre-charge: 96 V, 4700 uF, 100 Ohm. tau 0.47 s, first
// current 0.96 A, 95 % after 1.40799 s, 99 % after 2.16443 s, 21.6576 J in the
// resistor (any circuit text).
func TestTransientChargesAsTheBookSays(t *testing.T) {
	c := spec(t, charging).Transient(circuit.Transient{Case: circuit.Case{Mode: "on"}, ForS: 20})
	if c.Failed != "" {
		t.Fatal(c.Failed)
	}
	near := func(what string, got, want, relative float64) {
		t.Helper()
		if !(math.Abs(got-want) <= relative*want) {
			t.Errorf("%s: %.8g, want %.8g (%+.3g %%)", what, got, want, 100*(got/want-1))
		}
	}
	near("first current", c.Peak("r").A, 0.96, 1e-4)
	near("heat", c.HeatJ("r"), 21.6576, 1e-4)
	t95, _ := c.TimeTo("c.pos", "c.neg", 0.95*96)
	near("to 95 %", t95, 1.40799, 1e-4)
	t99, _ := c.TimeTo("c.pos", "c.neg", 0.99*96)
	near("to 99 %", t99, 2.16443, 5e-4)
	for _, s := range []float64{0.001, 0.01, 0.1, 0.47, 1, 2, 3, 5} {
		v, _ := c.At(s).Across("c.pos", "c.neg")
		near("voltage", v, 96*-math.Expm1(-s/0.47000), 1e-4)
	}
	t.Logf("%d samples", len(c.Times()))
}
