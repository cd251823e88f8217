package precharge

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

// fixture is a pre-charge of a worked example (any circuit text): 96 V, 4700 uF and
// 100 Ohm; tau 0.47 s, 92.16 W at first, 21.6576 J in the resistor, 95 % after
// 1.408 s. A relay on the key begins it, the controller closes the contactor after 3 s.
var fixture = ruletest.Fixture{Subject: "r", Text: `
headroom: 1
vehicle: {name: fixture, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {b: {role: traction, min_V: 72, nominal_V: 84, max_V: 96, resistance_mOhm: {min: 10, typ: 10, max: 10}}}
disconnects: {d: {carry_A: 200}}
switches: {key: {role: key, poles: {p: {carry_A: 10}}}}
contactors:
  k:
    contact: {carry_A: 200, make_A: 600}
    coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}
    closes_after_s: 3
relays: {ry: {contact: {carry_A: 5}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}}
resistors: {r: {role: precharge, resistance_Ohm: 100, power_W: 100, pulse_J: 300, max_V: 500}}
controllers: {c: {min_V: 60, max_V: 130, capacitance_uF: 4700, coil_out: {max_A: 2}}}
wires:
  main: {from: b.pos, to: d.a, size: 35 mm2, length_m: 0.5}
  power: {from: d.b, to: k.a, size: 35 mm2, length_m: 0.5}
  load: {from: k.b, to: c.pos, size: 35 mm2, length_m: 0.5}
  back: {from: c.neg, to: b.neg, size: 35 mm2, length_m: 0.5}
  feed: {from: k.a, to: key.p_a, size: 1.5 mm2, length_m: 1}
  coil: {from: key.p_b, to: k.coil_pos, size: 1.5 mm2, length_m: 1}
  ret: {from: k.coil_neg, to: c.coil_out, size: 1.5 mm2, length_m: 1}
  relay: {from: k.coil_pos, to: ry.coil_pos, size: 1.5 mm2, length_m: 0.1}
  relay_ret: {from: ry.coil_neg, to: c.neg, size: 1.5 mm2, length_m: 0.1}
  r0: {from: k.a, to: ry.common, size: 1.5 mm2, length_m: 0.1}
  r1: {from: ry.no, to: r.a, size: 1.5 mm2, length_m: 0.1}
  r2: {from: r.b, to: k.b, size: 1.5 mm2, length_m: 0.1}
modes:
  off: {}
  parked: {closed: [d]}
  ready: {closed: [d, key, c.coil_out]}
  drive: {closed: [d, key, c.coil_out], draw: {c: {current_A: 50}}}
`}

// Changes of the fixture, as pairs of texts to replace.
var (
	noResistor = []string{"  r1: {from: ry.no, to: r.a, size: 1.5 mm2, length_m: 0.1}\n", "",
		"  r2: {from: r.b, to: k.b, size: 1.5 mm2, length_m: 0.1}\n", ""}
	noRelay = []string{"  r0: {from: k.a, to: ry.common, size: 1.5 mm2, length_m: 0.1}\n", "", "from: ry.no, to: r.a", "from: k.a, to: r.a"}
)

func after(s string) []string { return []string{"closes_after_s: 3", "closes_after_s: " + s} }

func waitsFor(percent string) []string {
	return []string{"closes_after_s: 3", "closes_at: {part: c, percent: " + percent + "}"}
}

func bleed(kOhm string) []string {
	return []string{"capacitance_uF: 4700", "capacitance_uF: 4700, bleed_kOhm: " + kOhm}
}

// converter connects a converter with a lamp to the controller's terminals.
func converter(start, stop, watts string) []string {
	return []string{"controllers:", "converters: {dc: {input: {min_V: 40, max_V: 130, start_V: " + start + ", stop_V: " + stop +
		", capacitance_uF: 220}, output: {nominal_V: 12, continuous_A: 20}, efficiency_percent: 90, isolated: true}}\n" +
		"loads: {lamp: {kind: resistive, power_W: " + watts + ", at_V: 12}}\ncontrollers:",
		"modes:", "  c1: {from: c.pos, to: dc.in_pos, size: 4 mm2, length_m: 0.1}\n  c2: {from: dc.in_neg, to: c.neg, size: 4 mm2, length_m: 0.1}\n" +
			"  c3: {from: dc.out_pos, to: lamp.pos, size: 4 mm2, length_m: 0.1}\n  c4: {from: lamp.neg, to: dc.out_neg, size: 4 mm2, length_m: 0.1}\nmodes:",
		"ready: {closed: [d, key, c.coil_out]}", "ready: {closed: [d, key, c.coil_out], on: [lamp]}"}
}

func join(changes ...[]string) (all []string) {
	for _, c := range changes {
		all = append(all, c...)
	}
	return all
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{Notes: []string{"discharge-wait", "precharge-stays-live", "precharge-delay-unmade"}, Fixtures: []string{"discharge-wait"}, Gaps: []string{"capacitors-ring-high"}}, fixture)
}
