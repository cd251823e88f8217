package catalogue_test

import (
	"fmt"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/ngspice"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// cart is 84 V, a controller of 2200 uF with a bleed resistor, and a pre-charge of 100 Ohm
// by a relay whose coil hangs on the key together with that of the contactor.
var cart = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: cart, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {pack: {role: traction, min_V: 60, nominal_V: 72, max_V: 84, resistance_mOhm: {min: 20, typ: 20, max: 20}}}
switches: {key: {role: key, poles: {p: {carry_A: 10, rated_V_dc: 100}, lights: {carry_A: 10, rated_V_dc: 100}}}}
fuses: {main: {class: bolt-down, rated_A: 125}}
disconnects: {isolator: {carry_A: 200, rated_V_dc: 100, make_A: 3000}}
contactors:
  k: {contact: {carry_A: 200, make_A: 600}, coil: {nominal_V: 72, operate_V: 50, release_V: 8, resistance_Ohm: 480}}
relays:
  ry: {contact: {carry_A: 5, make_A: 5}, coil: {nominal_V: 72, operate_V: 50, release_V: 8, resistance_Ohm: 2400}}
resistors: {soft: {role: precharge, resistance_Ohm: 100, power_W: 100, pulse_J: 500}}
controllers: {drive: {min_V: 40, max_V: 110, capacitance_uF: 2200, bleed_kOhm: 10}}
wires:
  w1: {from: pack.pos, to: main.a, size: 35 mm2, length_m: 0.2}
  w2: {from: main.b, to: isolator.a, size: 35 mm2, length_m: 0.3}
  w3: {from: isolator.b, to: k.a, size: 35 mm2, length_m: 0.3}
  w4: {from: k.b, to: drive.pos, size: 35 mm2, length_m: 0.5}
  w5: {from: drive.neg, to: pack.neg, size: 35 mm2, length_m: 0.8}
  feed: {from: k.a, to: key.p_a, size: 1.5 mm2, length_m: 0.5}
  coil: {from: key.p_b, to: k.coil_pos, size: 1.5 mm2, length_m: 0.5}
  ret: {from: k.coil_neg, to: drive.neg, size: 1.5 mm2, length_m: 0.5}
  ry_coil: {from: k.coil_pos, to: ry.coil_pos, size: 1.5 mm2, length_m: 0.1}
  ry_ret: {from: ry.coil_neg, to: k.coil_neg, size: 1.5 mm2, length_m: 0.1}
  r0: {from: k.a, to: ry.common, size: 2.5 mm2, length_m: 0.1}
  r1: {from: ry.no, to: soft.a, size: 2.5 mm2, length_m: 0.1}
  r2: {from: soft.b, to: k.b, size: 2.5 mm2, length_m: 0.1}
modes:
  off: {closed: [isolator]}
  ready: {closed: [isolator, key]}
`}

// pull is a coil as the simulator has it: resistance and inductance, and a contact that is
// closed when its current has reached what the armature needs and then the armature has
// travelled. Its clock runs at 1 V/s.
func pull(id string, c *schema.Coil, travelS float64, from, to string) []string {
	return []string{
		fmt.Sprintf("l_%s supply %s_l %.9gm", id, id, c.InductanceMH.Value),
		fmt.Sprintf("r_%s_coil %s_l %s_s %.9g", id, id, id, c.ResistanceOhm.Value),
		fmt.Sprintf("v_%s_sense %s_s 0 0", id, id),
		fmt.Sprintf("b_%s_clock 0 %s_clock i = i(v_%s_sense) > %.9g ? 1 : 0", id, id, id, c.OperateV.Value/c.ResistanceOhm.Value),
		fmt.Sprintf("c_%s_clock %s_clock 0 1 ic=0", id, id),
		fmt.Sprintf("b_%s_contact %s %s i = v(%s,%s)*(v(%s_clock) > %.9g ? 1e3 : 1e-9)", id, ngspice.Node(from), ngspice.Node(to), ngspice.Node(from), ngspice.Node(to), id, travelS),
	}
}

// Coils that are fed together, each with its inductance: pre-charge relay and contactor
// pull in by the currents that rise in them, the armature of the contactor in the 2 ms and
// that of the relay in the 10 ms that are the least and the most of common practice. The
// voltage that is left when the contactor closes, by the rules and by the simulator, with
// all of the capacitors' charge so far.
func TestNgspiceRaces(t *testing.T) {
	if !*simulate {
		t.Skip("needs the ngspice simulator: -ngspice runs it, as .ci/run does")
	}
	t.Parallel()
	worst := deviations{}
	for _, x := range []struct {
		name           string
		mainH, relayMH float64
		operateV       float64 // of the contactor
		lost           bool    // by the relay
	}{
		{"a contactor that takes long", 12000, 2000, 60, false},
		{"a contactor near its limit", 9000, 1000, 78, false},
		{"a heavy contactor", 30000, 500, 70, false},
		{"a hair's breadth", 6200, 500, 50, false},
		{"a quick contactor", 800, 4000, 45, true},
		{"as slow as each other", 3000, 15000, 50, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			spec := cart.Spec(t, ruletest.Edits("contactors.k.coil.inductance_mH", fmt.Sprint(x.mainH), "contactors.k.coil.operate_V", fmt.Sprint(x.operateV),
				"relays.ry.coil.inductance_mH", fmt.Sprint(x.relayMH))...)
			r := ruletest.Results(t, catalogue.Find("contactor-make-low"), spec)["k"]
			said, ok := last(r, "dV")
			peak, _ := last(r, "I_p")
			if !ok {
				t.Fatalf("nothing said of what is left: %s", r.Message)
			}
			b := bench{spec: spec, open: []string{"k", "ry", "key"}}
			b.elements = slices.Concat([]string{"v_key supply 0 84"}, // coils less the millivolts in their leads
				pull("k", &spec.Contactors["k"].Coil, 0.002, "k.a", "k.b"),
				pull("ry", &spec.Relays["ry"].Coil, 0.010, "ry.common", "ry.no"))
			m := b.run(t, 0.13, 6000,
				measured{"closes", "v(k_clock)", "when %s=0.002 rise=1"},
				measured{"relay", "v(ry_clock)", "when %s=0.010 rise=1"})
			before := "find %s at=" + fmt.Sprintf("%.9g", m["closes"]-2e-5)
			left := b.run(t, m["closes"]+1e-3, 4000, measured{"left", across("k.a", "k.b"), before})["left"]
			within(t, "left across the contact, V", said, left, agreesLeft, 0)
			worst.note("left by a race, V", x.name, said/left-1)
			if lost := m["closes"] <= m["relay"]; lost != x.lost || lost && said < 83.9 {
				t.Errorf("the contactor closes at %.4g s, the relay at %.4g s; the rule says %.4g V", m["closes"], m["relay"], said)
			}
			// The peak that comes of it.
			a, _ := (&vehicleOnBench{t: t, spec: spec}).closing("k", "drive", said, usualHenryPerM, 0, nil)
			within(t, "first peak, A", peak, a, agreesPeak, 0)
			t.Logf("relay %.4g s, contactor %.4g s; left %.4g V by the rule, %.4g V by the simulator", m["relay"], m["closes"], said, left)
		})
	}
	worst.log(t)
}

// What makes the delay where something does, each as a circuit: a capacitor across the
// coil, a relay that compares voltages, an auxiliary contact of the pre-charge relay, a
// timer.
func TestNgspiceDelays(t *testing.T) {
	if !*simulate {
		t.Skip("needs the ngspice simulator: -ngspice runs it, as .ci/run does")
	}
	t.Parallel()
	worst := deviations{}
	left := func(t *testing.T, spec *schema.Spec) (float64, rules.Result) {
		r := ruletest.Results(t, catalogue.Find("precharge-incomplete"), spec)["k"]
		said, ok := last(r, "dV")
		if !ok {
			t.Fatalf("nothing said of what is left: %s", r.Message)
		}
		return said, r
	}
	// A vehicle's pre-charge with the relay closed from the beginning, off as it may be,
	// and what is left at a time.
	at := func(t *testing.T, spec *schema.Spec, s float64) float64 {
		b := bench{spec: spec, ohms: 1.05, farads: 1.20, open: []string{"k", "key"}}
		return b.run(t, 1.01*s, 2000, measured{"left", across("k.a", "k.b"), fmt.Sprintf("find %%s at=%.9g", s)})["left"]
	}
	check := func(t *testing.T, said, simulated, share float64) {
		within(t, "left across the contact, V", said, simulated, share, 0)
		worst.note("left, V", t.Name(), said/simulated-1)
	}
	t.Run("capacitor", func(t *testing.T) {
		for _, uF := range []float64{220, 1000, 4700} {
			spec := cart.Spec(t, ruletest.Edits("contactors.k.closes", fmt.Sprintf(`{"by": "capacitor", "capacitance_uF": %g, "series_Ohm": 100}`, uF))...)
			said, _ := left(t, spec)
			// The capacitor at its lower end; 84 V through 100 Ohm onto 480 Ohm and it.
			b := bench{spec: spec, open: []string{"k", "ry", "key"}, elements: []string{"v_key supply 0 84", "r_s supply coil 100", "r_c coil 0 480", fmt.Sprintf("c_s coil 0 %gu ic=0", 0.8*uF)}}
			s := b.run(t, 1e-6*uF*400, 4000, measured{"pulls", "v(coil)", "when %s=50 rise=1"})["pulls"]
			check(t, said, at(t, spec, s), agreesLeft)
		}
	})
	t.Run("timer", func(t *testing.T) {
		for _, set := range []float64{0.3, 1, 2.5} {
			spec := cart.Spec(t, ruletest.Edits("timers.late", fmt.Sprintf(`{"function": "on-delay", "set_s": %g, "tolerance_percent": 15, "supply_V": {"min": 40, "max": 100}, "contact": {"carry_A": 5, "make_A": 5}}`, set),
				"wires.coil.to", `"late.pos"`, "wires.t1", `{"from": "late.pos", "to": "late.common", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.t2", `{"from": "late.no", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`, "wires.t3", `{"from": "late.neg", "to": "k.coil_neg", "size": "1.5 mm2", "length_m": 0.1}`,
				"wires.ry_coil.from", `"late.pos"`, "contactors.k.closes", `{"by": "timer", "device": "late"}`)...)
			said, _ := left(t, spec)
			check(t, said, at(t, spec, set*0.85), agreesLeft)
		}
	})
	t.Run("auxiliary", func(t *testing.T) {
		spec := cart.Spec(t, ruletest.Edits("relays.ry.auxiliary", `{"form": "no", "kind": "linked"}`, "wires.coil.to", `"ry.coil_pos"`, "wires.ry_coil.to", `"ry.aux_a"`, "wires.ry_coil.from", `"ry.coil_pos"`,
			"wires.a2", `{"from": "ry.aux_b", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`, "contactors.k.closes", `{"by": "auxiliary", "device": "ry"}`)...)
		said, _ := left(t, spec)
		// An order and no delay: what the contactor itself takes, 15 ms at the least, is given away.
		if simulated := at(t, spec, 0.015); said < simulated || said > 1.1*simulated {
			t.Errorf("left: the rule says %.4g V, the simulator %.4g V", said, simulated)
		}
	})
	t.Run("voltage relay", func(t *testing.T) {
		for _, percent := range []float64{70, 90, 95} {
			spec := cart.Spec(t, ruletest.Edits("controllers.drive.coil_out", `{"max_A": 2, "max_V": 120}`, "wires.ret.to", `"drive.coil_out"`, "wires.ry_ret.to", `"drive.neg"`,
				"contactors.k.closes_at", fmt.Sprintf(`{"part": "drive", "percent": %g}`, percent), "modes.ready.closed", `["isolator", "key", "drive.coil_out"]`)...)
			said, r := left(t, spec)
			b := bench{spec: spec, open: []string{"k", "key"}}
			m := b.run(t, 2, 8000, measured{"closes", "(" + across("drive.pos", "drive.neg") + ")/(" + across("k.a", "drive.neg") + ")", fmt.Sprintf("when %%s=%g rise=1", percent/100)})
			simulated := b.run(t, 2, 8000, measured{"left", across("k.a", "k.b"), fmt.Sprintf("find %%s at=%.9g", m["closes"])})["left"]
			check(t, said, simulated, agreesLeft)
			s, _ := last(r, "t")
			within(t, "when it closes, s", s, m["closes"], agreesLeft, 0)
			worst.note("when it closes, s", t.Name(), s/m["closes"]-1)
		}
	})
	worst.log(t)
}

// Pre-charges with something beside the capacitors that draws meanwhile: a resistance, a
// converter that begins at a voltage and gives a constant power, the same that the key
// turns on together with the coil.
func TestNgspiceLoadedPrecharges(t *testing.T) {
	if !*simulate {
		t.Skip("needs the ngspice simulator: -ngspice runs it, as .ci/run does")
	}
	t.Parallel()
	worst := deviations{}
	// Without the relay: through the resistor from when the isolator is closed, and a person waits.
	permanent := func(after, ohm float64) []rules.Edit {
		return ruletest.Edits("relays.ry", "", "wires.ry_coil", "", "wires.ry_ret", "", "wires.r0", "", "wires.r1.from", `"k.a"`,
			"resistors.soft.permanent", "true", "resistors.soft.resistance_Ohm", fmt.Sprint(ohm), "contactors.k.closes_after_s", fmt.Sprint(after))
	}
	converter := func(watts, start float64, lamp string) []rules.Edit {
		return ruletest.Edits("converters.dcdc", fmt.Sprintf(`{"input": {"min_V": 20, "max_V": 110, "start_V": %g, "stop_V": 20, "capacitance_uF": 100}, "output": {"nominal_V": 12, "continuous_A": 10}, "efficiency_percent": 90, "isolated": true}`, start),
			"loads.lamp", fmt.Sprintf(`{"kind": "resistive", "power_W": %g, "at_V": 12}`, watts), "modes.ready.on", `["lamp"]`, "modes.off.on", `["lamp"]`,
			"wires.d1", `{"from": "drive.pos", "to": "dcdc.in_pos", "size": "4 mm2", "length_m": 0.2}`, "wires.d2", `{"from": "drive.neg", "to": "dcdc.in_neg", "size": "4 mm2", "length_m": 0.2}`,
			"wires.d3", `{"from": "dcdc.out_pos", "to": `+lamp+`, "size": "1.5 mm2", "length_m": 0.5}`, "wires.d5", `{"from": "lamp.neg", "to": "dcdc.out_neg", "size": "1.5 mm2", "length_m": 0.5}`)
	}
	// The converter of a lamp: 12 V behind 1 mOhm and a metre of 1.5 mm2, at 90 %.
	window := func(watts, start, metre float64) string {
		lamp := 144 / watts
		all := lamp + 0.001 + metre*0.0133
		return fmt.Sprintf("x_dcdc dcdc_in_pos dcdc_in_neg window watts=%.9g start=%g stop=20", 144/all*(1-0.001/all)/0.9, start)
	}
	for _, x := range []struct {
		name     string
		edits    []rules.Edit
		elements []string
		waitS    float64
	}{
		{"a resistance", append(permanent(1, 100), ruletest.Edits("resistors.extra", `{"role": "load", "resistance_Ohm": 1500}`,
			"wires.e1", `{"from": "drive.pos", "to": "extra.a", "size": "2.5 mm2", "length_m": 0.1}`, "wires.e2", `{"from": "extra.b", "to": "drive.neg", "size": "2.5 mm2", "length_m": 0.1}`)...), nil, 1},
		{"a lamp", append(permanent(0.6, 100), ruletest.Edits("loads.lamp", `{"kind": "resistive", "power_W": 10, "at_V": 84}`, "modes.ready.on", `["lamp"]`, "modes.off.on", `["lamp"]`,
			"wires.e1", `{"from": "drive.pos", "to": "lamp.pos", "size": "2.5 mm2", "length_m": 0.1}`, "wires.e2", `{"from": "lamp.neg", "to": "drive.neg", "size": "2.5 mm2", "length_m": 0.1}`)...),
			[]string{fmt.Sprintf("r_lamp lamp_pos lamp_neg %.9g", 84*84/10.0)}, 0.6},
		{"a converter", append(permanent(2, 100), converter(4, 40, `"lamp.pos"`)...), []string{window(4, 40, 1)}, 2},
		{"a converter, early", append(permanent(0.4, 100), converter(4, 40, `"lamp.pos"`)...), []string{window(4, 40, 1)}, 0.4},
		{"a converter, much", append(permanent(3, 68), converter(10, 60, `"lamp.pos"`)...), []string{window(10, 60, 1)}, 3},
	} {
		t.Run(x.name, func(t *testing.T) {
			spec := cart.Spec(t, x.edits...)
			r := ruletest.Results(t, catalogue.Find("precharge-incomplete"), spec)["k"]
			said, ok := last(r, "dV")
			if !ok {
				t.Fatalf("nothing said of what is left: %s", r.Message)
			}
			b := bench{spec: spec, open: []string{"k", "key"}, elements: x.elements}
			m := b.run(t, 1.001*x.waitS, 8000, measured{"left", across("k.a", "k.b"), fmt.Sprintf("find %%s at=%.9g", x.waitS)},
				measured{"joule", fmt.Sprintf("i(v_in_soft)*i(v_in_soft)*%.9g", spec.Resistors["soft"].ResistanceOhm), fmt.Sprintf("integ %%s from=0 to=%.9g", x.waitS)})
			within(t, "left across the contact, V", said, m["left"], agreesLeft, 0)
			heat := ruletest.Results(t, catalogue.Find("precharge-pulse-high"), spec)["soft"]
			within(t, "heat of one pre-charge, J", heat.Demand.Value, m["joule"], agreesHeat, 0)
			worst.note("left, V", x.name, said/m["left"]-1)
			worst.note("heat of one pre-charge, J", x.name, heat.Demand.Value/m["joule"]-1)
			t.Logf("left %.4g V by the rule, %.4g V by the simulator; %.4g J, %.4g J", said, m["left"], heat.Demand.Value, m["joule"])
		})
	}
	t.Run("what the key turns on with the coil", func(t *testing.T) {
		// The lamp on the key's second pole: for the 50 ms that the armature may take nothing
		// but the resistor makes up for what the converter draws.
		edits := append(permanent(2, 100), converter(60, 20, `"key.lights_a"`)...)
		edits = append(edits, ruletest.Edits("wires.d4", `{"from": "key.lights_b", "to": "lamp.pos", "size": "1.5 mm2", "length_m": 0.5}`, "modes.off.on", "[]")...)
		spec := cart.Spec(t, edits...)
		r := ruletest.Results(t, catalogue.Find("precharge-incomplete"), spec)["k"]
		said, ok := last(r, "dV")
		if !ok {
			t.Fatalf("nothing said of what is left: %s", r.Message)
		}
		lamp := 144 / 60.0
		all := lamp + 0.001 + 1.5*0.0133 + 0.0075 // and 75 mV at 10 A in the key's contact
		watts := 144 / all * (1 - 0.001/all) / 0.9
		b := bench{spec: spec, open: []string{"k", "key"}, elements: []string{"v_run on 0 pwl(0 0 2 0 2.0001 1)",
			fmt.Sprintf("b_dcdc dcdc_in_pos dcdc_in_neg i = v(on)*%.9g/max(v(dcdc_in_pos,dcdc_in_neg), 20)", watts)}}
		left := b.run(t, 2.0501, 8000, measured{"left", across("k.a", "k.b"), "find %s at=2.05"})["left"]
		within(t, "left across the contact, V", said, left, 2*agreesLeft, 0)
		worst.note("left after the key, V", t.Name(), said/left-1)
	})
	worst.log(t)
}
