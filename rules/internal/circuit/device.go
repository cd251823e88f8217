package circuit

import (
	"math"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// Device is the fuse of an id; for a circuit breaker what it is as one: its rated
// current, capacity and the band of its tripping times, the longest in the coldest air and
// the shortest in the hottest. It is nil for anything else.
func (n *Network) Device(id string) *schema.Fuse {
	if f, ok := n.Spec.Fuses[id]; ok {
		return f
	}
	return n.devices[id]
}

// findDevices writes breakers down as fuses.
func (n *Network) findDevices() {
	n.devices = map[string]*schema.Fuse{}
	for id, b := range n.Spec.Breakers {
		d := &schema.Fuse{
			Base: b.Base, Threaded: b.Threaded, Class: "breaker", RatedA: b.RatedA, RatedVdc: b.RatedVdc,
			BreakingAdc: b.BreakingAdc, BreakingAtV: b.BreakingAtV, Opening: n.band(b),
		}
		if d.Opening != nil { // an integral alone says of no current that it trips
			d.TotalI2t = b.TotalI2t
		}
		n.devices[id] = d
	}
}

// TripGate is what a breaker holds and by when it trips, in multiples of its rated current
// at the calibrated ambient: as declared, else by its standard. It is not known where the
// standard leaves it to the maker, who is not quoted.
func TripGate(b *schema.Breaker) (g calc.BreakerGate, known bool) {
	g, known = calc.GateOfBreaker(b.Standard, b.RatedA)
	if !known && b.BreakerKind == "hydraulic-magnetic" {
		g, known = calc.HydraulicGate(), true
	}
	if !known {
		g = calc.BreakerGate{Hold: 1, HoldAtC: math.NaN(), TripsAtC: math.NaN()}
	}
	if b.Trip.HoldPercent.Known {
		g.Hold = b.Trip.HoldPercent.Value / 100
	}
	if m := b.Trip.MustTripPercent; m.Known {
		s := math.NaN()
		switch {
		case b.Trip.MustTripS.Known:
			s = b.Trip.MustTripS.Value
		case len(g.Trips) > 0:
			s = g.Trips[0].S
		}
		g.Trips = nil
		if !math.IsNaN(s) {
			g.Trips, known = []calc.Point{{CurrentA: m.Value / 100, S: s}}, true
		}
	}
	if b.CalibratedC.Known {
		g.HoldAtC, g.TripsAtC = b.CalibratedC.Value, b.CalibratedC.Value
	}
	return g, known
}

// TripsOnOverload reports whether it is known at which overload a breaker trips: a magnet
// says nothing of what is below its multiples.
func TripsOnOverload(b *schema.Breaker) bool {
	g, _ := TripGate(b)
	return len(g.Trips) > 0 || len(b.Trip.Max) > 0
}

// IsThermal reports whether the current at which a breaker trips follows the ambient.
func IsThermal(b *schema.Breaker) bool {
	return b.BreakerKind == "thermal" || b.BreakerKind == "thermal-magnetic"
}

// BreakerFactor is the share of its calibrated current that a breaker trips at in some
// air. It is 1 for one that the ambient does not matter to, and not known beyond the
// temperatures for which it is rated, or without the ambient of its calibration.
func BreakerFactor(b *schema.Breaker, ambientC, calibratedC float64) (l calc.Line, known bool) {
	if n := len(b.Ambient); n > 0 {
		points := make([]calc.DeratingPoint, n)
		for i, p := range b.Ambient {
			points[i] = calc.DeratingPoint{AtC: p.AtC, Percent: p.Percent}
		}
		l, err := calc.BreakerFactorByTable(points, ambientC)
		return l, err == nil
	}
	switch {
	case !IsThermal(b):
		return calc.UnmovedByAmbient(), true
	case math.IsNaN(calibratedC):
		return calc.Line{}, false
	case b.TripElementC.Known:
		l, err := calc.BreakerFactor(ambientC, calibratedC, b.TripElementC.Value)
		return l, err == nil
	}
	return calc.BreakerFactorByRate(ambientC, calibratedC, calc.ThermalPercentPerK), true
}

// coldFactor is [BreakerFactor] for the longest tripping times. In air that is colder than
// the table of its sheet, the line through the first two points goes on: what a bimetal
// trips at bends down from it, since its square is linear in the temperature.
func coldFactor(b *schema.Breaker, ambientC, calibratedC float64) (factor float64, known bool) {
	if len(b.Ambient) > 1 && ambientC < b.Ambient[0].AtC {
		first, next := b.Ambient[0], b.Ambient[1]
		slope := max(0, (first.Percent-next.Percent)/(next.AtC-first.AtC))
		return (first.Percent + slope*(first.AtC-ambientC)) / 100, true
	}
	l, known := BreakerFactor(b, ambientC, calibratedC)
	return l.Value, known
}

// band is the band of tripping times of a breaker; nil where nothing is known of it.
func (n *Network) band(b *schema.Breaker) *schema.Opening {
	g, _ := TripGate(b)
	cold, known := coldFactor(b, n.Spec.Vehicle.AmbientC.Min, g.TripsAtC)
	if !known {
		return nil
	}
	var out schema.Opening
	for _, p := range g.Trips {
		out.Max = append(out.Max, schema.CurrentTime{CurrentA: p.CurrentA * b.RatedA * cold, S: p.S})
	}
	for _, p := range b.Trip.Max {
		if k := len(out.Max); k == 0 || p.CurrentA*cold > out.Max[k-1].CurrentA && p.S <= out.Max[k-1].S {
			out.Max = append(out.Max, schema.CurrentTime{CurrentA: p.CurrentA * cold, S: p.S})
		}
	}
	// Hotter than it is rated for it still trips, nobody knows how soon.
	if hot, known := BreakerFactor(b, n.Spec.Vehicle.AmbientC.Max+n.Spec.Zones[b.Zone].RiseK, g.HoldAtC); known {
		for _, p := range b.Trip.Min {
			out.Min = append(out.Min, schema.CurrentTime{CurrentA: p.CurrentA * hot.Value, S: p.S})
		}
	}
	out.Min, out.Max = withMagnet(b, out.Min, out.Max)
	if len(out.Max) == 0 {
		return nil
	}
	return &out
}

// withMagnet adds the magnet of a breaker to the band of its bimetal: below its greatest
// multiple it need not help, so that the last time of the bimetal holds until there.
func withMagnet(b *schema.Breaker, least, most []schema.CurrentTime) (_, _ []schema.CurrentTime) {
	if b.Instant == nil {
		return least, withLatch(b, most)
	}
	const beside = 1e-9
	from, sure := InstantA(b)
	most = before(most, sure)
	held := 0.0
	if k := len(most); k > 0 {
		held = most[k-1].S
		most = append(most, schema.CurrentTime{CurrentA: sure * (1 - beside), S: most[k-1].S})
	}
	clears := b.Instant.ClearsS.Or(calc.InstantClearsS)
	most = append(most, schema.CurrentTime{CurrentA: sure, S: clears})
	// The time stays as it is until the integral that it lets through speaks; without one
	// for any current.
	if end := lastA(b, sure); end > sure*(1+beside) {
		most = append(most, schema.CurrentTime{CurrentA: end, S: clears})
	}
	if below := before(least, from); len(below) > 0 {
		const atOnceS = 0.001
		just := timeAt(least, from)
		if held > 0 {
			just = min(just, held) // never later than what it surely does
		}
		least = append(below,
			schema.CurrentTime{CurrentA: from * (1 - beside), S: just},
			schema.CurrentTime{CurrentA: from, S: min(atOnceS, just)})
	} else {
		least = nil
	}
	return least, most
}

// withLatch ends the longest times of a breaker without a magnet at what its latch and
// contacts take to part, however great the current: beyond its last point a bimetal goes by
// its integral, a mechanism does not.
func withLatch(b *schema.Breaker, most []schema.CurrentTime) []schema.CurrentTime {
	if len(most) == 0 || b.TotalI2t.Known {
		return most
	}
	const asGreatAsAny = 1000
	last := most[len(most)-1]
	if last.S > calc.InstantClearsS {
		last = schema.CurrentTime{CurrentA: last.CurrentA * math.Sqrt(last.S/calc.InstantClearsS), S: calc.InstantClearsS}
		most = append(most, last)
	}
	return append(most, schema.CurrentTime{CurrentA: asGreatAsAny * last.CurrentA, S: last.S})
}

// lastA is the current in A until which the time of a breaker's magnet is level.
func lastA(b *schema.Breaker, sure float64) float64 {
	const asGreatAsAny, adiabaticS = 1000, 0.01
	if b.TotalI2t.Known {
		return math.Sqrt(b.TotalI2t.Value / adiabaticS)
	}
	return asGreatAsAny * sure
}

// timeAt is the time in s that points by rising current give at a current above the
// first: between two of them log-log, beyond the last by its integral.
func timeAt(points []schema.CurrentTime, currentA float64) float64 {
	a := points[0]
	for _, b := range points[1:] {
		if b.CurrentA >= currentA {
			return a.S * math.Pow(b.S/a.S, math.Log(currentA/a.CurrentA)/math.Log(b.CurrentA/a.CurrentA))
		}
		a = b
	}
	return a.S * a.CurrentA * a.CurrentA / (currentA * currentA)
}

// before lists the points below a current.
func before(points []schema.CurrentTime, currentA float64) (out []schema.CurrentTime) {
	for _, p := range points {
		if p.CurrentA < currentA*(1-1e-6) {
			out = append(out, p)
		}
	}
	return out
}

// InstantA is the direct current in A below which the magnet of a breaker never trips it,
// and that at which it surely does.
func InstantA(b *schema.Breaker) (from, sure float64) {
	from, sure = b.Instant.Min*b.RatedA, b.Instant.Max*b.RatedA
	if b.Instant.StatedFor != "dc" {
		from, sure = calc.InstantOnDC(b.Instant.Min).Value*b.RatedA, calc.InstantOnDC(b.Instant.Max).Value*b.RatedA
	}
	return from, sure
}
