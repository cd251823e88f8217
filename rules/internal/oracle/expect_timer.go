package oracle

import (
	"math"
	"math/cmplx"
)

// timerExpectations are of what makes a contactor wait for its pre-charge, and of
// what becomes of the capacitors when it closes.
func timerExpectations() map[string]Expectation {
	return map[string]Expectation{
		"precharge-delay-unmade": func(v *Vehicle, id string) float64 {
			if v.heldBack(id) {
				return 0
			}
			worst := 0.0
			for _, c := range v.charges() {
				left := 1.0
				if !v.severe {
					if !v.relayed(c.resistor) && !v.deviceMeant(id) {
						continue // a person may wait, which the level depends on
					}
					left = math.Exp(-headStart / (c.ohms * c.farads))
				}
				worst = max(worst, over(v.inrushOf(c.controller, left), v.Number("contactors."+id+".contact.make_A", 0)))
			}
			return worst
		},
		"capacitors-ring-high": func(v *Vehicle, id string) float64 { return v.ringsTo(id) / v.bearsUpTo(id) },
		// Whoever flicks a key has it open for 0.2 s (common practice).
		"timer-recovery-long": func(v *Vehicle, id string) float64 {
			return v.Number("timers."+id+".recovery_s", math.NaN()) / 0.2
		},
		"timer-supply-outside": func(v *Vehicle, id string) float64 {
			path, most, least := "timers."+id+".supply_V", 0.0, math.Inf(1)
			volts := func(c Case) float64 { return math.Abs(v.Solve(c).Volts(id+".pos", id+".neg")) }
			for _, mode := range v.Modes(false) {
				for _, alone := range []bool{false, true} {
					full := volts(Case{Mode: mode, Supply: "full", Alone: alone, Idle: true, Start: true, Copper: 20})
					most = max(most, full)
					if full > 0.3*v.Number(path+".min", 0) { // the mode is meant to feed it
						least = min(least, volts(Case{Mode: mode, Supply: "empty", Alone: alone, Start: true, Copper: v.hot()}))
					}
				}
			}
			return max(over(most, v.Number(path+".max", 0)), v.Number(path+".min", 0)/max(least, 1e-6))
		},
	}
}

// headStart is by how much a relay is quicker than a contactor on the same wire, s:
// 50 ms at most (operate times of 5 to 15 and 15 to 50 ms are common practice).
const headStart = 0.05

// heldBack reports whether a device makes a contactor wait: a timer without whose
// contact nothing feeds its coil, a controller's output as the only way back, or
// what it says closes it on the voltage of the capacitors or by one at its coil.
func (v *Vehicle) heldBack(id string) bool {
	if by := v.Text("contactors." + id + ".closes.by"); by == "voltage-relay" || by == "capacitor" {
		return true
	}
	coil := id + ".coil_pos"
	for _, t := range v.IDs("timers") {
		if v.Text("timers."+t+".function") != "off-delay" && v.feeds(v.metal(), coil) && !v.feeds(v.metalWithout(map[string]bool{t: true}), coil) {
			return !v.startsEarly(t)
		}
	}
	back, metal := id+".coil_neg", v.metal()
	for _, c := range v.IDs("controllers") {
		if metal.same(back, c+".coil_out") && !metal.same(back, c+".neg") {
			return true
		}
	}
	return false
}

// startsEarly reports whether a timer has its supply before the pre-charge begins: with
// a contact open that a hand works, and without which nothing feeds the coil of the
// pre-charge relay or, where there is none, the resistor.
func (v *Vehicle) startsEarly(timer string) bool {
	var begins []string
	for _, c := range v.charges() {
		at := c.resistor + ".a"
		for _, end := range []string{".a", ".b"} {
			for _, wire := range v.At(c.resistor + end) {
				from, to := v.Ends(wire)
				for _, terminal := range []string{from, to} {
					if part, _ := split(terminal); v.Kind(part) == "relays" {
						at = part + ".coil_pos"
					}
				}
			}
		}
		begins = append(begins, at)
	}
	hands := append(v.IDs("disconnects"), v.IDs("breakers")...)
	for _, id := range v.IDs("switches") {
		for _, pole := range v.IDs("switches." + id + ".poles") {
			hands = append(hands, id+"."+pole)
		}
	}
	for _, hand := range hands {
		open := v.metalWithout(map[string]bool{hand: true})
		for _, at := range begins {
			if v.feeds(open, timer+".pos") && !v.feeds(open, at) {
				return true
			}
		}
	}
	return false
}

// deviceMeant reports whether the specification names a device that makes a contactor
// wait, or a controller has an output for it that is left unused.
func (v *Vehicle) deviceMeant(id string) bool {
	if v.Has("contactors." + id + ".closes.by") {
		return true
	}
	for _, c := range v.IDs("controllers") {
		if v.Has("controllers."+c+".coil_out") && len(v.At(c+".coil_out")) == 0 {
			return true
		}
	}
	return false
}

// feeds reports whether metal joins a terminal to the positive pole of a battery or
// of a converter's output.
func (v *Vehicle) feeds(metal *joined, terminal string) bool {
	for _, b := range v.IDs("batteries") {
		if metal.same(terminal, b+".pos") {
			return true
		}
	}
	for _, c := range v.IDs("converters") {
		if metal.same(terminal, c+".out_pos") {
			return true
		}
	}
	return false
}

// relayed reports whether a wire leads from a pre-charge resistor to a relay.
func (v *Vehicle) relayed(resistor string) bool {
	for _, end := range []string{".a", ".b"} {
		for _, wire := range v.At(resistor + end) {
			from, to := v.Ends(wire)
			for _, terminal := range []string{from, to} {
				if part, _ := split(terminal); v.Kind(part) == "relays" {
					return true
				}
			}
		}
	}
	return false
}

// ringsTo is the voltage to which the capacitors of a converter's input or of a
// controller swing when a contact joins them to the full pack, V: the step response
// of a series RLC circuit, with 2 uH for a metre of two cables side by side and 1 uH
// for what they join. NaN where their series resistance is not known and nothing has
// charged them, and of a converter that is behind a contactor.
func (v *Vehicle) ringsTo(id string) float64 {
	path, pos, neg, lacks := "controllers."+id, id+".pos", id+".neg", 1.0
	if v.Kind(id) == "converters" {
		path, pos, neg = "converters."+id+".input", id+".in_pos", id+".in_neg"
		gone := map[string]bool{}
		for _, k := range v.IDs("contactors") {
			gone[k] = true
		}
		if !v.severe && !v.feeds(v.metalWithout(gone), pos) {
			return math.NaN()
		}
	} else {
		for _, c := range v.charges() {
			if c.controller == id && c.wait > 0 {
				lacks = min(lacks, 1-c.reaches(c.wait))
			}
		}
	}
	esr := v.Number(path+".esr_mOhm", math.NaN()) / 1000
	if v.severe && math.IsNaN(esr) {
		esr = 0
	}
	ohms, metres := v.loop(pos, neg)
	henry, farad := 1e-6*metres+1e-6, v.Number(path+".capacitance_uF", math.NaN())/1e6
	volts := v.packVolts("max_V")
	return swing(volts, volts*lacks, ohms, esr, henry, farad)
}

// swing is the highest voltage at the terminals of a capacitor of C farad and its series
// resistance that lacks some of a supply's voltage when it is joined to it through R ohm
// and L henry, V. With s1 and s2 the roots of s2 + (R + ESR)/L s + 1/LC the current is
// dV/L (e^s1t - e^s2t)/(s1 - s2), and the terminals have what the supply, R and L leave.
func swing(volts, lacks, ohms, esr, henry, farad float64) float64 {
	a, w2 := (ohms+esr)/(2*henry), 1/(henry*farad)
	root := cmplx.Sqrt(complex(a*a-w2, 0)) + 1e-9*complex(a, 0) // never quite aperiodic
	s1, s2 := complex(-a, 0)+root, complex(-a, 0)-root
	most := volts
	for t := 1e-3 / math.Sqrt(w2); t < 1e3/math.Sqrt(w2); t *= 1.002 {
		one, two := cmplx.Exp(s1*complex(t, 0)), cmplx.Exp(s2*complex(t, 0))
		amps := lacks / henry * real((one-two)/(s1-s2))
		across := lacks * real((s1*one-s2*two)/(s1-s2)) // L di/dt
		most = max(most, volts-ohms*amps-across)
	}
	return most
}

// bearsUpTo is the highest voltage of a converter's input or of a controller, V; to
// the severe side the lowest of what is on the same metal.
func (v *Vehicle) bearsUpTo(id string) float64 {
	lowest, pos := v.Number("controllers."+id+".max_V", math.Inf(1)), id+".pos"
	if v.Kind(id) == "converters" {
		lowest, pos = v.Number("converters."+id+".input.max_V", math.NaN()), id+".in_pos"
	}
	if !v.severe {
		return lowest
	}
	return min(lowest, v.weakestOn(v.metal(), pos))
}

// weakestOn is the lowest highest voltage of the controllers, converter inputs,
// meters and loads whose positive pole metal joins to a terminal, V.
func (v *Vehicle) weakestOn(metal *joined, terminal string) float64 {
	lowest := math.Inf(1)
	for _, kind := range []struct{ group, field, pos string }{
		{"controllers", ".max_V", ".pos"}, {"converters", ".input.max_V", ".in_pos"}, {"meters", ".max_V", ".pos"}, {"loads", ".max_V", ".pos"},
	} {
		for _, id := range v.IDs(kind.group) {
			if metal.same(terminal, id+kind.pos) {
				lowest = min(lowest, v.Number(kind.group+"."+id+kind.field, math.Inf(1)))
			}
		}
	}
	return lowest
}
