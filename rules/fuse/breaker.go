package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// noun is what a device is called: one that melts, or one that trips.
func noun(f *schema.Fuse) string {
	if f.Kind == "breakers" {
		return "breaker"
	}
	return "fuse"
}

// breaker is a circuit breaker that is wired, with its ways.
type breaker struct {
	*schema.Breaker
	poles []*circuit.Edge
}

// breakers yields the circuit breakers that are wired, each with a check in the making.
// What is in a network that contains a mistake is reported as not checked.
func (s *supply) breakers(yield func(breaker, *rules.Check) bool) {
	for id, b := range schema.Sorted(s.Spec.Breakers) {
		if b.Spare {
			continue
		}
		d := breaker{Breaker: b}
		var terminals []string
		names := map[string][2]string{id: {".a", ".b"}, id + ".2": {".a2", ".b2"}}
		for _, e := range s.Circuit.EdgesOf(id) {
			if n := names[e.ID]; s.Circuit.Connected(id+n[0]) && s.Circuit.Connected(id+n[1]) {
				d.poles = append(d.poles, e)
				terminals = append(terminals, id+n[0], id+n[1])
			}
		}
		if len(d.poles) == 0 {
			continue // a free terminal has a finding of its own
		}
		c := s.Subject(id, b.Path())
		if s.Unsound(c, terminals...) {
			continue
		}
		if !yield(d, c) {
			return
		}
	}
}

// eachBreaker is a check that gives a verdict on every breaker.
func eachBreaker(eval func(*supply, *rules.Check, breaker)) func(*rules.Pass) {
	return func(p *rules.Pass) {
		s := newSupply(p)
		s.breakers(func(d breaker, c *rules.Check) bool {
			eval(s, c, d)
			return true
		})
	}
}

// field is the path of a field of the breaker.
func (d breaker) field(name string) string { return d.Path() + "." + name }

// gateSteps adds a multiple of the rated current to a working: as declared, or of the
// standard.
func gateSteps(w *rules.Working, b *schema.Breaker, symbol, what string, multiple float64, declared schema.Number, field, source string) float64 {
	if declared.Known {
		percent := w.Given(symbol+"_%", what, declared.Value, "%", b.Path()+".trip."+field)
		return w.Calc(symbol, what+", as a multiple", symbol+"_% / 100", rules.Term(percent)+" / 100", multiple, "")
	}
	if source == "" {
		return w.Default(symbol, what, multiple, "", "nothing is stated: no more than its rated current")
	}
	return w.Standard(symbol, what, multiple, "", source)
}

// ambientSteps adds the share of its calibrated current that a breaker trips at in some
// air to a working. It is not known beyond the temperatures for which it is rated.
func ambientSteps(w *rules.Working, b *schema.Breaker, what string, airC, calibratedC float64) (factor float64, known bool) {
	f, known := circuit.BreakerFactor(b, airC, calibratedC)
	if !known {
		return 0, false
	}
	if len(b.Ambient) == 0 && circuit.IsThermal(b) {
		if b.CalibratedC.Known {
			w.Given("T_cal", "ambient at which it is calibrated", calibratedC, "C", b.Path()+".calibrated_C")
		} else {
			w.Standard("T_cal", "ambient at which it is calibrated", calibratedC, "C", b.Standard)
		}
		if b.TripElementC.Known {
			w.Given("T_trip", "temperature at which its bimetal trips", b.TripElementC.Value, "C", b.Path()+".trip_element_C")
		} else {
			w.Default("k", "fall of what it trips at with the ambient", calc.ThermalPercentPerK, "%/K", "common practice")
		}
	}
	return w.Line("f", "share of it "+what, f), true
}

// unknownTrip says what is missing of a breaker of which it is not known what it trips at.
func unknownTrip(b *schema.Breaker) *rules.Missing {
	m := &rules.Missing{Path: b.Path() + ".trip.must_trip_percent", What: "the current at which breaker " + b.ID + " is sure to trip"}
	if circuit.TripsOnOverload(b) {
		m.Path, m.What = b.Path()+".calibrated_C", "the ambient at which breaker "+b.ID+" is calibrated"
		if len(b.Ambient) > 0 {
			m.Path, m.What = b.Path()+".ambient", "what breaker "+b.ID+" trips at in the coldest air"
		}
	}
	return m
}

// explainTrip adds to a working how what a breaker surely trips at comes about, and the
// ampacity that it requires.
func (s *supply) explainTrip(w *rules.Working, b *schema.Breaker, ratedA, needA float64) {
	g, known := circuit.TripGate(b)
	if !known || len(g.Trips) == 0 {
		return // I_n <= I_z holds of every breaker; more is not known
	}
	air := w.Given("T_a", "coldest air", s.Spec.Vehicle.AmbientC.Min, "C", "vehicle.ambient_C.min")
	m := gateSteps(w, b, "m", "current at which it is sure to trip, of its rated current", g.Trips[0].CurrentA, b.Trip.MustTripPercent, "must_trip_percent", g.Source)
	f, known := ambientSteps(w, b, "in that air", air, g.TripsAtC)
	if !known {
		return
	}
	i2 := w.Calc("I_2", "current at which "+b.ID+" is sure to trip", "m f I_n", rules.Term(m)+" * "+rules.Term(f)+" * "+rules.Term(ratedA), m*f*ratedA, "A")
	w.Calc("I_need", "ampacity that both conditions require", "max(I_n, I_2 / 1.45)", "max("+rules.Term(ratedA)+", "+rules.Term(i2)+" / 1.45)", needA, "A")
}

// hottest is the hottest air at the breaker.
func (s *supply) hottest(b *schema.Breaker) capacity.Air { return capacity.AirAt(s.Pass, &b.Base, nil) }

// lackOf is the field without which what a breaker does over the ambient is not known.
func (d breaker) lackOf(calibratedC float64) string {
	if circuit.IsThermal(d.Breaker) && len(d.Ambient) == 0 && math.IsNaN(calibratedC) {
		return d.field("calibrated_C")
	}
	return ""
}
