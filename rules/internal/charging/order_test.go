package charging_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
)

// A pre-charge of 96 V, 4700 uF and 100 Ohm on the key, whose contactor closes after 3 s.
var cart = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: cart, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {b: {role: traction, min_V: 72, nominal_V: 84, max_V: 96, resistance_mOhm: {min: 10, typ: 10, max: 10}}}
switches: {key: {role: key, poles: {p: {carry_A: 10}}}}
contactors:
  k: {contact: {carry_A: 200}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}, closes_after_s: 3}
relays: {ry: {contact: {carry_A: 5}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}}
resistors: {r: {role: precharge, resistance_Ohm: 100}}
controllers: {c: {min_V: 60, max_V: 130, capacitance_uF: 4700}}
wires:
  main: {from: b.pos, to: k.a, size: 35 mm2, length_m: 0.5}
  load: {from: k.b, to: c.pos, size: 35 mm2, length_m: 0.5}
  back: {from: c.neg, to: b.neg, size: 35 mm2, length_m: 0.5}
  feed: {from: k.a, to: key.p_a, size: 1.5 mm2, length_m: 1}
  coil: {from: key.p_b, to: k.coil_pos, size: 1.5 mm2, length_m: 1}
  ret: {from: k.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}
  relay: {from: k.coil_pos, to: ry.coil_pos, size: 1.5 mm2, length_m: 0.1}
  relay_ret: {from: ry.coil_neg, to: k.coil_neg, size: 1.5 mm2, length_m: 0.1}
  r0: {from: k.a, to: ry.common, size: 1.5 mm2, length_m: 0.1}
  r1: {from: ry.no, to: r.a, size: 1.5 mm2, length_m: 0.1}
  r2: {from: r.b, to: k.b, size: 1.5 mm2, length_m: 0.1}
modes:
  off: {}
  ready: {closed: [key]}
`}

// lead is a short cable.
func lead(id, from, to string) []rules.Edit {
	return ruletest.Edits("wires."+id, `{"from": "`+from+`", "to": "`+to+`", "size": "35 mm2", "length_m": 0.5}`)
}

// lamp is a load across the capacitors.
func lamp(id, watts string) []rules.Edit {
	return slices.Concat(ruletest.Edits("loads."+id, `{"kind": "resistive", "power_W": `+watts+`, "at_V": 96}`), lead("p_"+id, "c.pos", id+".pos"), lead("n_"+id, id+".neg", "c.neg"))
}

// one calls f with the only pre-charge of the cart with edits.
func one(t *testing.T, edits []rules.Edit, f func(p *rules.Pass, a charging.Attempt)) {
	t.Helper()
	with(t, cart.Spec(t, edits...), func(p *rules.Pass) {
		if list := charging.Attempts(p); len(list) == 1 {
			f(p, list[0])
		} else {
			t.Errorf("%d pre-charges", len(list))
		}
	})
}

// The vehicle is started in the mode that draws nothing and goes on; a mode that ends
// is none to start in, even if less is on in it.
func TestStartingMode(t *testing.T) {
	short := slices.Concat(lamp("lamp", "0.01"), ruletest.Edits("modes.brief", `{"closed": ["key"], "lasts_s": 5}`, "modes.ready.on", `["lamp"]`, "modes.drive", `{"closed": ["key"], "draw": {"c": {"current_A": 50}}}`))
	one(t, short, func(_ *rules.Pass, a charging.Attempt) {
		if a.Mode != "ready" {
			t.Errorf("started in %q, want ready", a.Mode)
		}
	})
	// Half of 220 V is more than the 84 V that the coil gets.
	one(t, ruletest.Edits("contactors.k.coil.nominal_V", "220", "contactors.k.coil.operate_V", "180"), func(_ *rules.Pass, a charging.Attempt) {
		if !a.Never {
			t.Errorf("a coil for 220 V is taken for energised at 84 V in mode %q", a.Mode)
		}
	})
}

// A lamp of 900 Ohm (96^2 V2 / 10.24 W) leaves 90 % of the supply, so that the formulas of
// resistor and capacitor alone do not hold; of two that draw, the greater is named.
func TestWhatDrawsFromAPreCharge(t *testing.T) {
	one(t, nil, func(_ *rules.Pass, a charging.Attempt) {
		if !a.Plain() {
			t.Error("without a lamp it is not plain")
		}
	})
	two := slices.Concat(lamp("big", "9"), lamp("small", "1.24"), ruletest.Edits("modes.ready.on", `["big", "small"]`))
	one(t, two, func(p *rules.Pass, a charging.Attempt) {
		if a.Plain() {
			t.Error("with lamps it is plain")
		}
		v, full, _, ok := a.Settled(p, circuit.Highest)
		if !ok || math.Abs(v/full-0.9) > 1e-3 {
			t.Errorf("settles at %v V of %v V, want 90 %%", v, full)
		}
		// 9 W at 96 V, at 90 % of the voltage: 0.0844 A.
		if who, a := a.Draw(p, circuit.Highest); who != "big" || math.Abs(a-0.9*9/96) > 1e-3 {
			t.Errorf("%q draws %v A, want big and 0.0844 A", who, a)
		}
	})
}

// A contactor that waits for a voltage closes after one that waits for a time.
func TestContactorsThatCloseLater(t *testing.T) {
	second := slices.Concat(ruletest.Edits("contactors.second", `{"contact": {"carry_A": 200}, "coil": {"nominal_V": 84, "operate_V": 50, "release_V": 8, "resistance_Ohm": 900}, "closes_at": {"part": "c", "percent": 90}}`,
		"controllers.other", `{"min_V": 60, "max_V": 130, "capacitance_uF": 1000}`),
		lead("s1", "k.b", "second.a"), lead("s2", "second.b", "other.pos"), lead("s3", "other.neg", "b.neg"),
		lead("s4", "key.p_b", "second.coil_pos"), lead("s5", "second.coil_neg", "b.neg"))
	with(t, cart.Spec(t, second...), func(p *rules.Pass) {
		k := charging.Of(p, p.Circuit.Edge("k.contact"))
		if !strings.Contains(k.Open, "second.contact") || len(k.Capacitors) != 1 || k.Capacitors[0].Part != "c" {
			t.Errorf("closes on %v with %q open, want c alone with second.contact open", k.Capacitors, k.Open)
		}
	})
}

// What a diode blocks is not charged, whichever contact closes.
func TestDiodesBlock(t *testing.T) {
	for way, want := range map[string]int{"anode": 2, "cathode": 1} {
		from := map[string]string{"anode": "cathode", "cathode": "anode"}[way]
		behind := slices.Concat(ruletest.Edits("diodes.d", `{"forward_V": 0.8, "continuous_A": 200}`, "controllers.other", `{"min_V": 60, "max_V": 130, "capacitance_uF": 1000}`),
			lead("d1", "k.b", "d."+way), lead("d2", "d."+from, "other.pos"), lead("d3", "other.neg", "b.neg"))
		with(t, cart.Spec(t, behind...), func(p *rules.Pass) {
			if k := charging.Of(p, p.Circuit.Edge("k.contact")); len(k.Capacitors) != want {
				t.Errorf("entered at the %s: capacitors of %d, want %d", way, len(k.Capacitors), want)
			}
		})
	}
}

// Of two controllers the nearer, in order the first, makes the loop of least resistance:
// 10 mOhm and 1.5 m of 35 mm2 at 0.554 mOhm/m (IEC 60228 class 5); behind 10 m more there
// are 5.5 mOhm more.
func TestLoopOfTheNearestCapacitor(t *testing.T) {
	far := slices.Concat(ruletest.Edits("controllers.far", `{"min_V": 60, "max_V": 130, "capacitance_uF": 1000}`,
		"wires.f1", `{"from": "k.b", "to": "far.pos", "size": "35 mm2", "length_m": 10}`), lead("f2", "far.neg", "b.neg"))
	with(t, cart.Spec(t, far...), func(p *rules.Pass) {
		k := charging.Of(p, p.Circuit.Edge("k.contact"))
		contact := 75.0 / 200 // mOhm, of 75 mV at carry_A
		if ohm := k.LoopOhm(p, 96); len(k.Capacitors) != 2 || math.Abs(1000*ohm-(10+1.5*0.554+contact)) > 0.02 {
			t.Errorf("%v mOhm to the nearest of %d", 1000*ohm, len(k.Capacitors))
		}
	})
}

// Of packs of 84 V and 96 V in parallel the higher counts, wherever it stands in the
// order; their 10 mOhm each and 5 mOhm of cables without inductance let 96 V / 10 mOhm through.
func TestTheFullerPackCounts(t *testing.T) {
	for _, id := range []string{"a", "z"} {
		lower := slices.Concat(ruletest.Edits("batteries."+id, `{"role": "traction", "min_V": 63, "nominal_V": 73, "max_V": 84, "resistance_mOhm": {"min": 10, "typ": 10, "max": 10}}`),
			lead("x1", id+".pos", "k.a"), lead("x2", id+".neg", "b.neg"))
		with(t, cart.Spec(t, lower...), func(p *rules.Pass) {
			c := p.Subject("probe", "vehicle")
			if v, ok := charging.ExplainFull(p, c.Working, p.Circuit.Edge("c").From); !ok || v != 96 {
				t.Errorf("with a lower pack %s: %v V, want 96 V", id, v)
			}
			peak, ok := charging.Onto(p, circuit.Loop{Strings: p.Circuit.Strings(), Lead: circuit.Lead{Ohm: 0.005}}, p.Circuit.Edge("c")).Inrush(c, p)
			if want := 9600.0; !ok || math.Abs(peak-want) > 1e-3 {
				t.Errorf("with a lower pack %s: %v A, want %v A", id, peak, want)
			}
		})
	}
}

// A conductor around a contactor is another rule's finding in the return than in the
// positive side.
func TestBypassedInTheReturn(t *testing.T) {
	inReturn := ruletest.Edits("wires.main.to", `"c.pos"`, "wires.load", "", "wires.r0", "", "wires.r1", "", "wires.r2", "", "resistors.r", "",
		"wires.back.to", `"k.b"`, "wires.feed.from", `"b.pos"`, "wires.ret2", `{"from": "k.a", "to": "b.neg", "size": "35 mm2", "length_m": 0.5}`)
	for name, tc := range map[string]struct {
		edits []rules.Edit
		want  string
	}{
		"return":         {append(inReturn, lead("around", "k.a", "c.neg")...), "return-path-second"},
		"positive side":  {lead("around", "b.pos", "c.pos"), "contactor-bypassed"},
		"no way around":  {inReturn, ""},
		"a resistor's":   {nil, ""},
		"a relay's also": {ruletest.Edits("wires.r1.to", `"k.b"`, "wires.r2", "", "resistors.r", ""), ""},
	} {
		with(t, cart.Spec(t, tc.edits...), func(p *rules.Pass) {
			if rule, _ := charging.Bypassed(p, "k"); rule != tc.want {
				t.Errorf("%s: %q, want %q", name, rule, tc.want)
			}
		})
	}
}
