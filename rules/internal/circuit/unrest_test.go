package circuit_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/circuit"
)

// buzzer is a relay that breaks the feed of its own coil, and with it that of a
// pre-charge, of a converter and of the coils of some more relays.
func buzzer(relays int) string {
	var parts, wires strings.Builder
	for i := range relays {
		fmt.Fprintf(&parts, "  r%d: {form: no, contact: {carry_A: 10}, coil: {nominal_V: 48, operate_V: 20, release_V: 4, resistance_Ohm: 2000}}\n", i)
		fmt.Fprintf(&wires, "  c%d: {from: buzzer.nc, to: r%[1]d.coil_pos, size: 1 mm2, length_m: 1}\n  n%[1]d: {from: r%[1]d.coil_neg, to: p.neg, size: 1 mm2, length_m: 1}\n", i)
	}
	return `
headroom: 1
vehicle: {name: Buzzer, use: off-road, chassis: isolated}
batteries:
  p: {role: traction, min_V: 40, nominal_V: 48, max_V: 56, resistance_mOhm: 20}
  apart: {role: auxiliary, min_V: 10, nominal_V: 12, max_V: 14, resistance_mOhm: 20}
resistors:
  r: {role: precharge, resistance_Ohm: 100}
  idle: {role: load, resistance_Ohm: 100}
controllers: {c: {min_V: 30, max_V: 60, capacitance_uF: 4700}}
converters:
  x: {input: {min_V: 30, max_V: 60}, output: {nominal_V: 12, continuous_A: 10}, isolated: true}
loads: {lamp: {kind: led, power_W: 24, at_V: 12}}
relays:
  buzzer: {form: nc, contact: {carry_A: 10}, coil: {nominal_V: 48, operate_V: 20, release_V: 4, resistance_Ohm: 2000}}
` + parts.String() + `
wires:
  w1: {from: p.pos, to: buzzer.common, size: 4 mm2, length_m: 1}
  w2: {from: buzzer.nc, to: buzzer.coil_pos, size: 1 mm2, length_m: 1}
  w3: {from: buzzer.coil_neg, to: p.neg, size: 1 mm2, length_m: 1}
  w4: {from: buzzer.nc, to: x.in_pos, size: 4 mm2, length_m: 1}
  w5: {from: x.in_neg, to: p.neg, size: 4 mm2, length_m: 1}
  w6: {from: x.out_pos, to: lamp.pos, size: 4 mm2, length_m: 1}
  w7: {from: lamp.neg, to: x.out_neg, size: 4 mm2, length_m: 1}
  w8: {from: buzzer.nc, to: r.a, size: 4 mm2, length_m: 1}
  w9: {from: r.b, to: c.pos, size: 4 mm2, length_m: 1}
  w10: {from: c.neg, to: p.neg, size: 4 mm2, length_m: 1}
  a1: {from: apart.pos, to: idle.a, size: 4 mm2, length_m: 1}
  a2: {from: idle.b, to: apart.neg, size: 4 mm2, length_m: 1}
` + wires.String() + `
modes: {on: {on: [lamp]}}
`
}

// The converter stops whenever the relay has opened and starts whenever it has
// closed. If both always moved at once, nothing would ever flow into it; how fast
// either is nobody knows.
func TestUnrestIsInAnyOrder(t *testing.T) {
	for _, start := range []circuit.Start{circuit.FromClosed, circuit.FromOpen} {
		s := spec(t, buzzer(0)).Solve(circuit.Case{Mode: "on", House: circuit.Alone, Start: start})
		if want := []string{"buzzer", "x"}; !slices.Equal(s.Chatter, want) {
			t.Fatalf("%v chatter, want %v", s.Chatter, want)
		}
		for _, id := range []string{"x.in", "w4", "lamp", "w7", "p", "w1", "buzzer.nc"} {
			if !s.Restless(id) {
				t.Errorf("%s is at rest", id)
			}
		}
		if s.Restless("a1", "idle", "apart") {
			t.Error("what is apart from it is disturbed")
		}
		if got := s.Alternating(); !slices.Equal(got, []string{"buzzer.nc"}) {
			t.Errorf("%v alternate", got)
		}
		if !s.Held(true).Closed("buzzer.nc") || s.Held(false).Closed("buzzer.nc") {
			t.Error("it cannot be held")
		}
	}
}

// Behind the relay seven others come and go with it: more states than are gone
// through, so that nothing is taken to be at rest.
func TestUnrestOfTooManyStates(t *testing.T) {
	s := spec(t, buzzer(7)).Solve(circuit.Case{Mode: "on"})
	if !s.Restless("a1") || !slices.Contains(s.Alternating(), "r6.no") {
		t.Error("what is not gone through is taken for at rest")
	}
}

// In time the relay finds no rest at the first instant: the run says so and does not
// go on with the contact wherever it happens to be.
func TestTransientFindsNoRest(t *testing.T) {
	c := spec(t, buzzer(0)).Transient(circuit.Transient{Case: circuit.Case{Mode: "on"}, ForS: 5})
	if c.Failed != "" || !slices.Contains(c.Chatter, "buzzer") || c.EndS() != 0 {
		t.Errorf("ends after %g s, %v chatter; %s", c.EndS(), c.Chatter, c.Failed)
	}
}
