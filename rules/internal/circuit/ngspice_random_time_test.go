package circuit_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/circuit"
)

// What a random run of time may differ by: 1 % of a voltage or a heat, and of a
// voltage a thousandth of the supply, which is what a moment's shift of a
// converter's start makes of it.
const agreementRandomTime = 1e-2

// Random pre-charges against the simulator, with the flag -ngspice: batteries and
// trees of cables, a contactor that closes after a while or never, one or two
// controllers, converters that start during the climb, and loads that draw from
// the capacitors. A failure names its seed.
func TestNgspiceRandomTime(t *testing.T) {
	const unsolved = 4
	var given, cycling []uint64
	seed := uint64(0)
	for ; *live && seed < networks+uint64(len(given)) && len(given) <= unsolved; seed++ {
		t.Run(fmt.Sprintf("seed%d", seed), func(t *testing.T) {
			s := newTimeSketch(seed)
			cycles, ok := s.compareInTime(t)
			if !ok {
				given = append(given, seed)
			}
			if cycles {
				cycling = append(cycling, seed)
			}
		})
	}
	t.Logf("seeds below %d: given up %v; start and stop without end %v", seed, given, cycling)
	if len(given) > unsolved {
		t.Errorf("the simulator gives up on more than %d networks", unsolved)
	}
}

// Each of them comes to its end, in a bounded number of steps, no voltage goes
// beyond the battery's, and no converter is late in starting or stopping.
func TestRandomTimeEnds(t *testing.T) {
	for seed := range uint64(networks) {
		s := newTimeSketch(seed)
		n := s.network(t, t.TempDir())
		c := n.Transient(s.transient())
		if c.Failed != "" {
			t.Errorf("seed %d: %s", seed, c.Failed)
			continue
		}
		for _, at := range c.Times() {
			if v, ok := c.At(at).Across("drive1.pos", "drive1.neg"); !ok || v < -1e-4*s.supply || v > 1.001*high*s.supply {
				t.Errorf("seed %d: %g V at %g s", seed, v, at)
			}
		}
		for _, e := range c.Events {
			converter, ok := n.Spec.Converters[e.ID]
			if !ok {
				continue
			}
			v, _ := c.Before(e).Across(e.ID+".in_pos", e.ID+".in_neg")
			late := v - converter.Input.StartV.Value
			if !e.On {
				late = converter.Input.StopV.Value - v
			}
			if late > 2e-4*s.supply {
				t.Errorf("seed %d: %s moves %g V late, at %g s", seed, e.ID, late, e.S)
			}
		}
	}
}

// timeSketch is a sketch of a pre-charge.
type timeSketch struct {
	*sketch
	forS   float64
	banks  []string // terminals, by pairs
	heated string   // the resistor
	times  []float64
}

func (s *timeSketch) transient() circuit.Transient { return circuit.Transient{Case: s.c, ForS: s.forS} }

func newTimeSketch(seed uint64) *timeSketch {
	s := &timeSketch{sketch: &sketch{Rand: rand.New(rand.NewPCG(seed, 2)), parts: map[string][]string{}, first: map[string]float64{},
		grounds: []string{"battery1.neg"}, count: map[string]int{}}}
	s.c = circuit.Case{Mode: "use", NoDraw: true,
		Pack:       []circuit.Supply{circuit.Nominal, circuit.Lowest, circuit.Highest}[s.IntN(3)],
		Resistance: []circuit.Bound{circuit.Typical, circuit.Least, circuit.Greatest}[s.IntN(3)],
	}.WithCopper(float64(s.IntN(110) - 20))
	volts := []float64{24, 48, 72, 96}[s.IntN(4)]
	s.supply = volts * map[circuit.Supply]float64{circuit.Lowest: low, circuit.Nominal: 1, circuit.Highest: high}[s.c.Pack]
	s.strain = 1
	plus, minus := s.side(s.supply, 2+s.IntN(6)), s.side(0, 2+s.IntN(4))
	for range 1 + s.IntN(2) {
		s.battery(volts, plus[0], minus[0])
	}
	for range s.IntN(3) {
		s.load(volts, s.supply, plus[s.IntN(len(plus))], minus[s.IntN(len(minus))])
	}
	far := s.side(s.supply, 1+s.IntN(4))
	series := s.between(20, 300)
	var farads float64
	for range 1 + s.IntN(2) {
		farads += s.capacitor(volts, far[s.IntN(len(far))], minus[s.IntN(len(minus))])
	}
	s.forS = 6 * series * farads
	s.soft(series, plus[s.IntN(len(plus))], far[0])
	if s.IntN(2) == 0 {
		s.contactor(volts, plus[s.IntN(len(plus))], far[0], minus[0])
	}
	for range s.IntN(3) {
		s.drain(volts, series, far[s.IntN(len(far))], minus[s.IntN(len(minus))])
	}
	if s.IntN(2) == 0 {
		s.windowed(volts, series, far[s.IntN(len(far))], minus[s.IntN(len(minus))])
	}
	for i := range 8 {
		s.times = append(s.times, s.forS*(float64(i)+s.between(0.1, 0.9))/8)
	}
	return s
}

// capacitor hangs a controller between two studs and returns its farads.
func (s *timeSketch) capacitor(volts float64, plus, minus string) float64 {
	id, micro := s.new("drive"), s.between(300, 6000)
	bleed := ""
	if s.IntN(2) == 0 {
		ohm := s.between(1, 20)
		bleed = fmt.Sprintf(", bleed_kOhm: %g", ohm)
		s.element("r_%s %s_pos %s_neg %gk", id, id, id, ohm)
	}
	s.part("controllers", "%s: {min_V: %g, max_V: %g, capacitance_uF: %g%s}", id, 0.5*volts, 1.5*volts, micro, bleed)
	s.element("c_%s %s_pos %s_neg %gu ic=0", id, id, id, micro)
	s.wire(plus, id+".pos", true)
	s.wire(id+".neg", minus, true)
	s.banks = append(s.banks, id+".pos", id+".neg")
	return micro / 1e6
}

// soft is the pre-charge resistor.
func (s *timeSketch) soft(ohm float64, from, to string) {
	s.heated = s.new("soft")
	s.part("resistors", "%s: {role: precharge, resistance_Ohm: %g}", s.heated, ohm)
	s.element("r_%s %s_a %s_b %g", s.heated, s.heated, s.heated, ohm)
	s.wire(from, s.heated+".a", false)
	s.wire(s.heated+".b", to, false)
}

// contactor closes after a part of the run.
func (s *timeSketch) contactor(volts float64, from, to, minus string) {
	id, after := s.new("k"), s.between(0.1, 0.8)*s.forS
	s.part("contactors", "%s: {contact: {carry_A: 200, resistance_mOhm: 0.5}, coil: {nominal_V: %g, operate_V: %g, release_V: %g, resistance_Ohm: 200}, closes_after_s: %.6f}",
		id, volts, 0.5*volts, 0.1*volts, after)
	s.element("x_%s %s_a %s_b contact at=%.6f ohms=0.5m", id, id, id, after)
	s.element("r_%s %s_coil_pos %s_coil_neg 200", id, id, id)
	s.wire(from, id+".a", true)
	s.wire(id+".b", to, true)
	s.wire(from, id+".coil_pos", false)
	s.wire(id+".coil_neg", minus, false)
}

// drain draws a little from the capacitors, through a diode at times.
func (s *timeSketch) drain(volts, series float64, plus, minus string) {
	id := s.new("drain")
	watts := s.between(0.02, 0.2) * s.supply * s.supply / 4 / series
	kind := []string{"led", "motor", "filament"}[s.IntN(3)]
	s.part("loads", "%s: {kind: %s, power_W: %g, at_V: %g}", id, kind, watts, volts)
	s.on = append(s.on, id)
	pins := id + "_pos " + id + "_neg"
	switch kind {
	case "led":
		s.element("x_%s %s power watts=%g knee=%g", id, pins, watts, 0.5*volts)
	case "motor":
		s.element("x_%s %s current amps={%g/%g} knee=%g", id, pins, watts, volts, 0.5*volts)
	default:
		s.element("r_%s %s {%g*%g/%g}", id, pins, volts, volts, watts)
	}
	if s.IntN(3) == 0 {
		s.diode(plus, id+".pos", s.supply)
	} else {
		s.wire(plus, id+".pos", false)
	}
	s.wire(id+".neg", minus, false)
}

// windowed is a converter that starts within the climb and feeds a lamp.
func (s *timeSketch) windowed(volts, series float64, plus, minus string) {
	id, lamp := s.new("dcdc"), s.new("lamp")
	start := s.between(0.4, 0.8) * s.supply
	stop := s.between(0.7, 0.95) * start
	watts := s.between(0.1, 1.4) * s.supply * s.supply / 4 / series
	micro := s.between(50, 500)
	s.part("converters", "%s: {input: {min_V: %g, max_V: 200, start_V: %g, stop_V: %g, capacitance_uF: %g}, output: {nominal_V: 12, continuous_A: 40}, efficiency_percent: 90, isolated: true}",
		id, stop, start, stop, micro)
	s.part("loads", "%s: {kind: resistive, power_W: %g, at_V: 12}", lamp, watts)
	s.on = append(s.on, lamp)
	// 12 V behind 1 mOhm and 2 m of 2.5 mm2, over the lamp.
	s.element(".param all_%s={1m+2*mm2_2p5*copper(t)+144/%g}", id, watts)
	s.element("x_%s %s_in_pos %s_in_neg window watts={144/all_%s*(1-1m/all_%s)/0.9} start=%g stop=%g", id, id, id, id, id, start, stop)
	s.element("c_%s %s_in_pos %s_in_neg %gu ic=0", id, id, id, micro)
	s.wire(plus, id+".in_pos", false)
	s.wire(id+".in_neg", minus, false)
	for _, ends := range [][2]string{{id + ".out_pos", lamp + ".pos"}, {lamp + ".neg", id + ".out_neg"}} {
		s.part("wires", "%s: {from: %s, to: %s, size: 2.5 mm2, length_m: 1}", s.new("w"), ends[0], ends[1])
	}
	s.banks = append(s.banks, id+".in_pos", id+".in_neg")
}

// simulationInTime writes the sketch as a deck of a run, with the quantities to
// compare up to a time.
func (s *timeSketch) simulationInTime(times []float64, options string) string {
	var lets, measures, prints []string
	for k := 0; k < len(s.banks); k += 2 {
		vector := fmt.Sprintf("bank%d", k)
		lets = append(lets, fmt.Sprintf("let %s = v(%s)-v(%s)", vector, node(s.banks[k]), node(s.banks[k+1])))
		for i, at := range times {
			name := fmt.Sprintf("v%d_%d", k, i)
			measures = append(measures, fmt.Sprintf("meas tran %s find %s at=%.9g", name, vector, at))
			prints = append(prints, fmt.Sprintf("*! across %s %s at %.9g", s.banks[k], s.banks[k+1], at), "print "+name)
		}
	}
	parts := []string{"* random pre-charge", "*! transient mode=use for=" + fmt.Sprint(s.forS), ".include laws.inc", ".include transients.inc",
		fmt.Sprintf(".param t=%g", s.c.CopperC), "v_ground battery1_neg 0 0", options}
	parts = append(parts, s.elements...)
	parts = append(parts, ".control", "set numdgt=12", fmt.Sprintf("tran %.6g %.9g 0 %.6g uic", s.forS/1000, s.forS, s.forS/1000))
	parts = append(parts, lets...)
	parts = append(parts, measures...)
	parts = append(parts, prints...)
	return strings.Join(append(parts, "quit", ".endc", ".end", ""), "\n")
}

// compareInTime holds the run against the simulator's; not ok where that finds
// no solution.
func (s *timeSketch) compareInTime(t *testing.T) (cycles, ok bool) {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"laws.inc", "transients.inc"} {
		text, err := os.ReadFile(filepath.Join(circuits, name))
		if err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(dir, name), string(text))
	}
	n := s.network(t, dir)
	c := n.Transient(s.transient())
	if c.Failed != "" {
		t.Fatal(c.Failed)
	}
	times := s.quiet(c)
	for _, options := range []string{"", ".options reltol=1e-5 rshunt=1e10", ".options reltol=1e-4 method=trap"} {
		deck := s.simulationInTime(times, options)
		path := filepath.Join(dir, "deck.cir")
		write(t, path, deck)
		d := readDeck(t, path)
		d.tolerance, d.floor = agreementRandomTime, 1e-3*s.supply
		simulated, err := runDeck(d)
		if errors.Is(err, exec.ErrNotFound) {
			t.Fatal(err)
		}
		if err != nil {
			t.Log(err)
			continue
		}
		d.compare(t, answer{network: n, course: c}, simulated)
		if t.Failed() {
			t.Logf("events %v\n%s\n%s", c.Events, s.vehicle(), deck)
		}
		return len(c.Cycling) > 0, true
	}
	return false, false
}

// quiet lists the times of the sketch that do not lie right beside an event, where
// a voltage jumps, nor after the first few of a converter that starts and stops
// without end, where the times of both drift apart.
func (s *timeSketch) quiet(c *circuit.Course) []float64 {
	var out []float64
	for _, at := range s.times {
		good := at <= c.EndS()
		for k, e := range c.Events {
			good = good && math.Abs(e.S-at) > 0.005*s.forS && !(k >= 3 && at > e.S)
		}
		if good {
			out = append(out, at)
		}
	}
	if len(out) == 0 {
		out = append(out, c.EndS()/1000)
	}
	return out
}
