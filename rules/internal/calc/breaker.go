package calc

import "math"

// ThermalPercentPerK is by how much the tripping current of a bimetal falls with each
// kelvin of ambient temperature where nothing is known of it, in percent. Source:
// common practice.
const ThermalPercentPerK = 0.7

// BreakerFactor is the share of its calibrated tripping current at which a thermal
// breaker trips in air of a temperature in C: above 1 in the cold, where it trips late.
// The bimetal trips at one temperature, and heats with the square of the current.
// Source: heat balance of the bimetal.
func BreakerFactor(ambientC, calibratedC, tripC float64) (Line, error) {
	if !(tripC > calibratedC) {
		return Line{}, quantity{"tripping temperature of the bimetal", tripC, "C"}.fault("must be above that of the calibration")
	}
	v := math.Sqrt(max(0, tripC-ambientC) / (tripC - calibratedC))
	return line(v, "", "sqrt(max(0, T_trip - T_a) / (T_trip - T_cal))", "sqrt(max(0, $1 - $2) / ($1 - $3))", tripC, ambientC, calibratedC), nil
}

// BreakerFactorByRate is [BreakerFactor] where only a rate in percent per kelvin is known.
func BreakerFactorByRate(ambientC, calibratedC, percentPerK float64) Line {
	v := max(0, 1-percentPerK/100*(ambientC-calibratedC))
	return line(v, "", "max(0, 1 - k (T_a - T_cal))", "max(0, 1 - $1 / 100 * ($2 - $3))", percentPerK, ambientC, calibratedC)
}

// BreakerGate is what a standard asks of a breaker, in multiples of its rated current.
type BreakerGate struct {
	Hold     float64
	Trips    []Point // multiple and time: it has tripped by then, the first the must-trip current
	HoldAtC  float64 // ambient temperature of the test; NaN where the maker states it
	TripsAtC float64
	Source   string
}

// GateOfBreaker is the gate of a standard, or false for one that leaves it to the maker.
// Sources: as the gate says.
func GateOfBreaker(standard string, ratedA float64) (BreakerGate, bool) {
	const hour = 3600.
	byRating := func(s float64, upTo float64) float64 {
		if ratedA > upTo {
			return 2 * s
		}
		return s
	}
	switch standard {
	case "IEC 60898":
		return BreakerGate{1.13, []Point{{1.45, byRating(hour, 63)}}, 30, 30, "IEC 60898-1, conventional tripping currents"}, true
	case "IEC 60947-2":
		return BreakerGate{1.05, []Point{{1.30, byRating(hour, 63)}}, math.NaN(), math.NaN(), "IEC 60947-2, conventional tripping currents"}, true
	case "UL 489":
		g := BreakerGate{1, []Point{{1.35, byRating(hour, 50)}}, 40, 25, "UL 489, calibration; ambients and times above 30 A from memory"}
		for _, x := range []Point{{30, 120}, {50, 240}, {100, 360}, {150, 480}} {
			if ratedA <= x.CurrentA {
				g.Trips = append(g.Trips, Point{2, x.S})
				break
			}
		}
		return g, true
	case "SAE J553":
		return BreakerGate{1, []Point{{1.35, 1800}}, 25, 25, "SAE J553, from memory"}, true
	}
	return BreakerGate{}, false
}

// HydraulicGate is what a magnet delayed by oil holds and trips at where nothing else is
// stated. Source: from memory.
func HydraulicGate() BreakerGate {
	return BreakerGate{1, []Point{{1.35, 3600}}, math.NaN(), math.NaN(), "hydraulic-magnetic breakers, 1.25 to 1.35 times the rated current, from memory"}
}

// InstantOnDC is the multiple of its rated current at which the magnet of a breaker trips
// on direct current, from the rms multiple that is stated for alternating current: it
// answers to the peak. Source: circuit theory.
func InstantOnDC(multiple float64) Line {
	return line(multiple*math.Sqrt2, "", "sqrt(2) m_ac", "sqrt(2) * $1", multiple)
}

// InstantClearsS is the time in s in which a breaker has interrupted a current at which
// its magnet surely trips, where none is stated. Source: IEC 60898-1 (below 0.1 s).
const InstantClearsS = 0.1

// BreakerFactorByTable is [BreakerFactor] from the points of a data sheet, in percent of
// the rated current. Beyond both ends the breaker is not rated: the error is a
// [NotRatedError] above the last.
func BreakerFactorByTable(points []DeratingPoint, ambientC float64) (Line, error) {
	if len(points) == 0 || ambientC < points[0].AtC {
		return Line{}, quantity{"ambient temperature", ambientC, "C"}.fault("must not be below the first point")
	}
	percent, err := Derating(points, ambientC)
	if err != nil {
		return Line{}, err
	}
	return line(percent.Value/100, "", "linear between the points of the table, over 100 %", ""), nil
}

// UnmovedByAmbient is the factor of a breaker that the ambient does not matter to.
func UnmovedByAmbient() Line {
	return line(1, "", "what it trips at does not follow the ambient", "")
}
