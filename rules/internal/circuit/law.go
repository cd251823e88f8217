package circuit

import "math"

// form is the shape of an element's current over its voltage.
type form int

const (
	open     form = iota // no current
	resistor             // i = g v
	emf                  // i = g (v - e): a battery
	floating             // as emf, but it takes at most amperes: a battery at rest beside a converter, which keeps it charged
	current              // i = amperes from the knee up, in proportion below, none below zero
	power                // i = watts / v from the knee up, at most cap; in proportion below
	junction             // a diode
	limited              // a regulated output or regeneration: holds e, but gives at most amperes and takes none
)

// Regions of the piecewise-linear forms. A limited output moves between
// neighbouring regions only, which keeps the iteration from jumping over the
// narrow one in which it regulates.
const (
	regulating = iota
	limiting
	blocked
)

// law is the current-voltage law of one element in one case.
type law struct {
	form    form
	g       float64 // conductance, S
	e       float64 // source voltage, V
	amperes float64
	watts   float64
	knee    float64 // V
	cap     float64 // A
	region  int

	saturation float64 // of a junction, A
	emission   float64 // of a junction: n kT/q, V
	at         float64 // the voltage at which it was last linearised
}

// Voltages and conductances that keep the equations solvable without being
// felt: an off diode leaks, a limiting output has a trace of slope.
const (
	leak     = 1e-9 // S
	softness = 1e-9 // S
)

// trace is the current in A below which a regulated output's direction and
// limit are not judged: what the rounding of its voltage amounts to behind a
// milliohm.
const trace = 1e-5

// thermal is n kT/q of a silicon power diode at 25 C with an emission
// coefficient of 1.75, in V.
const thermal = 0.045

// newJunction returns a diode that drops volts at amperes.
func newJunction(volts, amperes float64) law {
	return law{form: junction, emission: thermal, saturation: amperes / math.Expm1(volts/thermal)}
}

// connects reports whether the element ties its two ends together
// galvanically, so that a current has a way back.
func (l *law) connects() bool {
	switch l.form {
	case resistor, emf, junction:
		return true
	case floating:
		return l.region == regulating
	case limited:
		return l.region != blocked
	}
	return false
}

// hasCapacitor reports whether the element gets a capacitor to settle with.
func (l *law) hasCapacitor() bool {
	switch l.form {
	case floating, current, power, limited:
		return true
	}
	return false
}

// of returns the current at a voltage and its slope, in the present region.
func (l *law) of(v float64) (i, slope float64) {
	switch l.form {
	case resistor:
		return l.g * v, l.g
	case emf:
		return l.g * (v - l.e), l.g
	case floating:
		if l.region == regulating {
			return l.g * (v - l.e), l.g
		}
		return l.amperes, 0
	case current:
		switch {
		case v >= l.knee:
			return l.amperes, 0
		case v > 0:
			return l.amperes * v / l.knee, l.amperes / l.knee
		}
	case power:
		switch {
		case v >= l.knee && l.cap > 0 && l.watts/v > l.cap:
			return l.cap, 0
		case v >= l.knee:
			return l.watts / v, -l.watts / (v * v)
		case v > 0:
			g := l.watts / (l.knee * l.knee)
			if l.cap > 0 {
				g = min(g, l.cap/l.knee)
			}
			return g * v, g
		}
	case junction:
		// Beyond 80 times the emission voltage the exponential is far outside
		// any solution; it is held there so that it cannot overflow.
		x := min(v/l.emission, 80)
		return l.saturation*math.Expm1(x) + leak*v, l.saturation/l.emission*math.Exp(x) + leak
	case limited:
		switch l.region {
		case regulating:
			return l.g * (v - l.e), l.g
		case limiting:
			return softness*(v-l.e) - l.amperes, softness
		}
	}
	return 0, 0
}

// step moves the element to the region that the voltage asks for and reports
// whether it moved.
func (l *law) step(v float64) bool {
	before := l.region
	switch l.form {
	case floating:
		switch {
		case l.region == regulating && l.g*(v-l.e) > l.amperes+trace:
			l.region = blocked
		case l.region == blocked && l.g*(v-l.e) < l.amperes:
			l.region = regulating
		}
	case limited:
		given := l.g * (l.e - v)
		switch l.region {
		case regulating:
			if given > l.amperes+trace {
				l.region = limiting
			} else if given < -trace {
				l.region = blocked
			}
		case limiting:
			if given < l.amperes-trace {
				l.region = regulating
			}
		case blocked:
			if v < l.e {
				l.region = regulating
			}
		}
	}
	return l.region != before
}

// limit returns the voltage at which to linearise next, given the voltage that
// the last solution asks for. A junction may not move far in one step, or its
// exponential would throw the iteration off (the limiting of Nagel's SPICE2).
func (l *law) limit(v float64) float64 {
	switch {
	case (l.form == power || l.form == current) && l.at > 1e-6*l.knee && v < l.at/2:
		// Near collapse a full step can jump past the solution to below zero,
		// where the element draws nothing and the next step jumps back. An
		// element without supply may settle a little below zero, on the drop of
		// a return that it shares, so the halving ends near zero.
		return l.at / 2
	case l.form != junction:
		return v
	}
	critical := l.emission * math.Log(l.emission/(math.Sqrt2*l.saturation))
	if v <= critical || math.Abs(v-l.at) <= 2*l.emission {
		return v
	}
	if l.at <= 0 {
		return l.emission * math.Log(v/l.emission)
	}
	if x := 1 + (v-l.at)/l.emission; x > 0 {
		return l.at + l.emission*math.Log(x)
	}
	return critical
}

// bend is how far a voltage is from where the law turns into another line or leaves its
// tangent, in V; +Inf for a line.
func (l *law) bend(v float64) float64 {
	switch l.form {
	case floating:
		return math.Abs(v - l.e - l.amperes/l.g)
	case limited:
		return min(math.Abs(v-l.e), math.Abs(v-l.e+l.amperes/l.g))
	case current, power:
		volts := math.Abs(v - l.knee)
		if l.cap > 0 {
			volts = min(volts, math.Abs(v-l.watts/l.cap))
		}
		return volts
	case junction:
		return l.emission
	}
	return math.Inf(1)
}
