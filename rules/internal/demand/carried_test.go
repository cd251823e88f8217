package demand_test

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// A pack of 50 V at the most behind 1 mOhm feeds two controllers and loads that are
// worked out at 50 V: the heater 10 A, horn and wiper, which are but briefly on, 5 A
// and 2 A. Over w_half and w_other, of the same length, each carries half of the
// controllers' current; the wiper is fed past w_a.
var shared = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: shared, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 50, resistance_mOhm: {min: 1, typ: 1, max: 1}}}
controllers:
  first: {min_V: 30, max_V: 80, battery_continuous_A: 100, battery_peak_A: 150, peak_s: 10}
  second: {min_V: 30, max_V: 80, battery_continuous_A: 100, battery_peak_A: 200, peak_s: 30}
loads:
  heater: {kind: resistive, power_W: 500, at_V: 50}
  horn: {kind: resistive, power_W: 250, at_V: 50, on_s: 20}
  wiper: {kind: resistive, power_W: 100, at_V: 50, on_s: 60}
  bell: {kind: resistive, power_W: 15, at_V: 50, on_s: 5}
studs: {plus: {}, far: {}, a: {}, minus: {}}
wires:
  w_pack: {from: pack.pos, to: plus.stud, size: 120 mm2, length_m: 0.01}
  w_half: {from: plus.stud, to: far.stud, size: 120 mm2, length_m: 0.01}
  w_other: {from: plus.stud, to: far.stud, size: 120 mm2, length_m: 0.01}
  w_first: {from: far.stud, to: first.pos, size: 120 mm2, length_m: 0.01}
  w_second: {from: far.stud, to: second.pos, size: 120 mm2, length_m: 0.01}
  w_a: {from: far.stud, to: a.stud, size: 120 mm2, length_m: 0.01}
  w_heater: {from: a.stud, to: heater.pos, size: 120 mm2, length_m: 0.01}
  w_horn: {from: a.stud, to: horn.pos, size: 120 mm2, length_m: 0.01}
  w_wiper: {from: plus.stud, to: wiper.pos, size: 120 mm2, length_m: 0.01}
  w_bell: {from: a.stud, to: bell.pos, size: 120 mm2, length_m: 0.01}
  r_first: {from: first.neg, to: minus.stud, size: 120 mm2, length_m: 0.01}
  r_second: {from: second.neg, to: minus.stud, size: 120 mm2, length_m: 0.01}
  r_heater: {from: heater.neg, to: minus.stud, size: 120 mm2, length_m: 0.01}
  r_horn: {from: horn.neg, to: minus.stud, size: 120 mm2, length_m: 0.01}
  r_wiper: {from: wiper.neg, to: minus.stud, size: 120 mm2, length_m: 0.01}
  r_bell: {from: bell.neg, to: minus.stud, size: 120 mm2, length_m: 0.01}
  back: {from: minus.stud, to: pack.neg, size: 120 mm2, length_m: 0.01}
modes:
  all: {on: [heater, horn, wiper]}
  drive: {on: [heater], draw: {first: {current_A: 40}, second: {current_A: 50}}}
  ring: {on: [heater, bell]}
`}

// with runs a function on the demands of a fixture.
func with(t *testing.T, f ruletest.Fixture, edits []rules.Edit, do func(d *demand.Demands, c *rules.Check)) {
	t.Helper()
	ran := false
	ruletest.Run(t, f.Spec(t, edits...), []*rules.Rule{{ID: "probe", Family: "probe", Check: func(p *rules.Pass) {
		ran = true
		do(demand.For(p), p.Subject("probe", "vehicle"))
	}}})
	if !ran {
		t.Fatal("the probe did not run")
	}
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// What is but briefly on is taken out where it counts, is fed through the edge, and
// the one that is on for the longest time says for how long.
func TestBriefLoads(t *testing.T) {
	with(t, shared, nil, func(d *demand.Demands, _ *rules.Check) {
		for _, want := range []struct {
			edge, mode string
			a, steady  float64
			brief      string
			s          float64
		}{
			{"w_pack", "all", 17, 10, "wiper", 60},
			{"w_a", "all", 15, 10, "horn", 20},
			{"w_a", "ring", 10.3, 10.3, "", 0}, // 3 % of it
			{"w_heater", "all", 10, 10, "", 0},
		} {
			_, modes, failed := d.Carried(want.edge)
			if failed != nil {
				t.Fatal(failed.Failed)
			}
			for _, in := range modes {
				if in.Mode.ID != want.mode {
					continue
				}
				near(t, want.edge+" in "+want.mode, in.A, want.a, 2e-3)
				near(t, want.edge+" steadily", in.Steady.A, want.steady, 2e-3)
				if in.Brief != want.brief || in.BriefS != want.s {
					t.Errorf("%s in %s: %q for %v s, want %q for %v s", want.edge, want.mode, in.Brief, in.BriefS, want.brief, want.s)
				}
			}
		}
	})
}

// The controllers' own limits come on top of the heater's 10 A at 50 V, or 8 A at the
// 40 V of an empty pack, in which the controllers draw most; of two that share an edge
// both may come at once, and for as long as each lasts: beyond its own, one draws on.
func TestOwnLimitsOfAnEdge(t *testing.T) {
	with(t, shared, nil, func(d *demand.Demands, _ *rules.Check) {
		for _, want := range []struct {
			edge string
			list [][2]float64 // A and s
		}{
			{"w_pack", [][2]float64{{8 + 50 + 150, 10}, {8 + 40 + 200, 30}, {8 + 350, 10}, {8 + 100 + 200, 30}}},
			{"w_half", [][2]float64{{(8 + 50 + 150) / 2, 10}, {(8 + 40 + 200) / 2, 30}, {(8 + 350) / 2.0, 10}, {(8 + 100 + 200) / 2.0, 30}}},
			{"w_second", [][2]float64{{200, 30}}},
			{"w_heater", nil},
		} {
			x, _, _ := d.Carried(want.edge)
			if len(x.Own) != len(want.list) {
				t.Fatalf("%s: %d limits, want %d: %+v", want.edge, len(x.Own), len(want.list), x.Own)
			}
			for i, step := range x.Own {
				near(t, want.edge+" "+step.What, step.A, want.list[i][0], 3e-3)
				near(t, want.edge+" "+step.What+" for", step.S, want.list[i][1], 0)
			}
		}
		// Of the edges of an element the one with the greatest share counts.
		half, whole := d.Circuit.Edge("w_half"), d.Circuit.Edge("w_pack")
		for _, step := range d.Bursts(demand.Element{half, whole}, nil, 0) {
			if step.Edge != whole {
				t.Errorf("%s is that of %s, want w_pack", step.What, step.Edge.ID)
			}
		}
	})
	forever := ruletest.Edits("controllers.first.peak_s", "", "controllers.second.peak_s", "")
	with(t, shared, forever, func(d *demand.Demands, _ *rules.Check) {
		x, _, _ := d.Carried("w_pack")
		near(t, "the greatest without a time", x.Unlimited.A, 8+350, 3e-3)
	})
	// A controller that only feeds back does so in that mode: 60 A through the heater's 10 A.
	braking := ruletest.Edits("controllers.second.regen_A", "60", "controllers.second.battery_peak_A", "",
		"modes.drive", `{"draw": {"first": {"current_A": 40}}}`, "modes.brake", `{"on": ["heater"], "draw": {"second": {"regen_A": 30}}}`)
	with(t, shared, braking, func(d *demand.Demands, _ *rules.Check) {
		x, _, _ := d.Carried("w_second")
		if len(x.Own) != 1 || !x.Own[0].Against {
			t.Fatalf("%+v", x.Own)
		}
		near(t, "fed back", x.Own[0].A, 60, 1e-6)
	})
}

// Modes without a duration above what a controller may draw continuously: the greatest
// is the one whose duration is missing, and only where the controller is what draws it.
func TestModesThatCannotGoOn(t *testing.T) {
	hills := ruletest.Edits("modes.a_hill", `{"on": ["heater"], "draw": {"first": {"current_A": 120}}}`, "modes.b_hill", `{"on": ["heater"], "draw": {"first": {"current_A": 140}}}`,
		"modes.c_hill", `{"on": ["heater"], "draw": {"first": {"current_A": 130}}}`)
	with(t, shared, hills, func(d *demand.Demands, c *rules.Check) {
		x, _, _ := d.Carried("w_first")
		near(t, "greatest without an end", x.Endless.A, 140, 1e-6)
		if x.Drawer != "first" {
			t.Errorf("drawer %q", x.Drawer)
		}
		if x, _, _ := d.Carried("w_heater"); x.Drawer != "" {
			t.Errorf("the heater's wire is said to carry what %s draws", x.Drawer)
		}
		e := demand.Element{d.Circuit.Edge("w_first")}
		uses, ok := d.Known(c, "w_first", e)
		if !ok {
			t.Fatal(c)
		}
		if _, endless, drawer := d.Hottest(e, uses, 600, 110); drawer != "first" || math.Abs(endless.A-140) > 1e-3 {
			t.Errorf("%v A of %q, want 140 A of first", endless.A, drawer)
		}
	})
}

// Steps of the declared cycle that follow each other heat as one of their root mean
// square: 100 A and 60 A for 10 s each as sqrt((100^2 + 60^2) / 2) = 82.46 A for 20 s. One
// step by itself is none.
func TestRunsOfTheCycle(t *testing.T) {
	hill, hold := "modes.hill", "modes.hold"
	steps := func(cycle string) []rules.Edit {
		return ruletest.Edits(hill, `{"draw": {"first": {"current_A": 100}}}`, hold, `{"draw": {"first": {"current_A": 60}}}`, "modes.rest", "{}", "cycle", cycle)
	}
	runs := func(cycle string) (out []demand.DutyStep) {
		with(t, shared, steps(cycle), func(d *demand.Demands, _ *rules.Check) {
			e := demand.Element{d.Circuit.Edge("w_first")}
			uses, _ := d.Uses(e)
			for _, step := range d.Bursts(e, uses, 50) {
				if step.Path == "cycle" {
					out = append(out, step)
				}
			}
		})
		return out
	}
	got := runs(`[{"mode": "hill", "for_s": 10}, {"mode": "hold", "for_s": 10}, {"mode": "rest", "for_s": 100}]`)
	if len(got) != 1 || got[0].S != 20 {
		t.Fatalf("%+v", got)
	}
	near(t, "run", got[0].A, math.Sqrt((100*100+60*60)/2), 1e-6)
	if got := runs(`[{"mode": "hill", "for_s": 10}, {"mode": "rest", "for_s": 100}]`); got != nil {
		t.Errorf("one step is a run: %+v", got)
	}
}

// 150 A for 60 s of 300 s are 150 sqrt(0.2) = 67.08 A in the mean, more than 50 A and less
// than 70 A that flow continuously. Above the 70 A only what is greater peaks.
func TestMeanAndPeaks(t *testing.T) {
	roll := mode("roll", 0, 0)
	cycle := func(a float64) demand.DutyCycle {
		return demand.DutyCycle{Steps: []demand.DutyStep{{Use: use(mode("hill", 60, 300), a), S: 60}, {Use: use(roll, 0), S: 240}}}
	}
	for continuous, want := range map[float64]float64{50: 150 * math.Sqrt(0.2), 70: 70} {
		x := demand.Carried{Continuous: uses(use(roll, continuous)), Cycles: []demand.DutyCycle{cycle(150)}}
		near(t, "mean", x.Mean().A, want, 1e-9)
	}
	x := demand.Carried{Continuous: uses(use(roll, 70)), Cycles: []demand.DutyCycle{cycle(60)}, Peaks: []demand.DutyCycle{cycle(70), cycle(80)}}
	if got := x.Peaking(); len(got) != 1 || got[0].Greatest().A != 80 {
		t.Errorf("peaks %+v, want the 80 A", got)
	}
}

// Regeneration counts by itself where it is more than the peak.
func TestOwnLimits(t *testing.T) {
	for regen, want := range map[float64]int{40: 1, 150: 1, 200: 2} {
		k := &schema.Controller{BatteryPeakA: schema.Some(150.0), RegenA: schema.Some(regen)}
		if got := demand.OwnLimits(k); len(got) != want || want == 2 && (!got[1].Feedback || got[1].A != regen) {
			t.Errorf("regeneration of %v A: %+v", regen, got)
		}
	}
}

// Both controllers may brake at once: 50 V + (30 A + 40 A) x 1 mOhm.
func TestRegenerationOfTwo(t *testing.T) {
	with(t, shared, ruletest.Edits("controllers.first.regen_A", "30", "controllers.second.regen_A", "40"), func(d *demand.Demands, c *rules.Check) {
		v, err := demand.HighestVoltage(d.Pass, c.Working, d.Circuit.Sources())
		if err != nil {
			t.Error(err)
		}
		near(t, "two that brake", v, 50.07, 1e-9)
	})
}

// The voltages of a lamp on the pack, and of one on the auxiliary battery beside a
// converter that keeps 13 V behind a diode, in each corner.
func TestCorners(t *testing.T) {
	f := ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: corners, use: off-road, chassis: isolated, ambient_C: {min: 0, max: 40}}
batteries:
  pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 56, resistance_mOhm: {min: 50, typ: 100, max: 200}}
  aux: {role: auxiliary, min_V: 10, nominal_V: 12, max_V: 14, resistance_mOhm: {min: 1, typ: 1, max: 1}}
loads:
  lamp: {kind: resistive, power_W: 2304, at_V: 48}
  house: {kind: resistive, power_W: 0.012, at_V: 12}
wires:
  a: {from: pack.pos, to: lamp.pos, size: 120 mm2, length_m: 0.001}
  b: {from: lamp.neg, to: pack.neg, size: 120 mm2, length_m: 0.001}
  c: {from: aux.pos, to: house.pos, size: 120 mm2, length_m: 0.001}
  d: {from: house.neg, to: aux.neg, size: 120 mm2, length_m: 0.001}
modes: {on: {on: [lamp, house]}}
`}
	with(t, f, nil, func(d *demand.Demands, _ *rules.Check) {
		corners := demand.Corners("on")
		_, empty, alone := demand.LowVoltage(d.Pass, "on")
		high := demand.HighVoltage(d.Pass, "on")
		const typical, aged = 1 / 1.1, 1 / 1.2 // of a lamp of 1 Ohm behind 100 and 200 mOhm
		for _, want := range []struct {
			name        string
			at          circuit.Case
			pack, house float64
		}{
			{"empty", corners[0], 40 * typical, 12},
			{"full", corners[1], 56 * typical, 12},
			{"empty, converter off", corners[2], 40 * typical, 10},
			{"full, converter off", corners[3], 56 * typical, 14},
			{"lowest", empty, 40 * aged, 12},
			{"lowest, converter off", alone, 40 * aged, 10},
			{"highest", high[0], 56 * typical, 12},
			{"highest, converter off", high[1], 56 * typical, 14},
			{"cold and aged", demand.Weak("on"), 40 * aged, 12},
		} {
			s := d.Circuit.Solve(want.at)
			pack, _ := s.Across("lamp.pos", "lamp.neg")
			house, _ := s.Across("house.pos", "house.neg")
			near(t, want.name+", on the pack", pack, want.pack, 1e-3)
			near(t, want.name+", in the house", house, want.house, 1e-3)
		}
		s := d.Circuit.Solve(demand.Bare("on"))
		if pack, _ := s.Across("lamp.pos", "lamp.neg"); math.Abs(pack-56) > 1e-3 {
			t.Errorf("bare, on the pack: %v V, want 56 V", pack)
		}
		if house, _ := s.Across("house.pos", "house.neg"); math.Abs(house) > 1e-3 {
			t.Errorf("bare, in the house: %v V, want none", house)
		}
	})
}

// A source that carries nothing, as one that is mended out, adds no voltage.
func TestASourceThatIsOut(t *testing.T) {
	charger := append(ruletest.Edits("chargers.charger", `{"max_V": 60, "max_A": 5, "isolated": true}`),
		ruletest.Edits("wires.c1", `{"from": "charger.pos", "to": "plus.stud", "size": "10 mm2", "length_m": 0.1}`,
			"wires.c2", `{"from": "charger.neg", "to": "minus.stud", "size": "10 mm2", "length_m": 0.1}`)...)
	with(t, shared, charger, func(d *demand.Demands, c *rules.Check) {
		for _, tc := range []struct {
			out  []string
			want float64
		}{{nil, 60}, {[]string{"charger"}, 50}} {
			p := *d.Pass
			p.Circuit = p.Circuit.Mended(tc.out, nil)
			if v, err := demand.HighestVoltage(&p, c.Working, p.Circuit.Sources()); err != nil || v != tc.want {
				t.Errorf("without %v: %v V, want %v V (%v)", tc.out, v, tc.want, err)
			}
		}
	})
}
