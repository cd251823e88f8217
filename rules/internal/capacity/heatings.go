package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// Peak is the hottest end of a step of a cycle in the periodic state.
type Peak struct {
	Step         int // of the cycle
	FromC, PeakC float64
	OutOfRange   bool // above what the conductor withstands even for the seconds of a short circuit
	// LeftS is how long that step could go on from its end until the limit of
	// temperature; +Inf if for ever, 0 if it is above.
	LeftS float64
}

// Heatings keeps the thermal replicas of conductors, of which a vehicle has many
// alike. The zero value is ready to use; it is not safe for concurrent use.
type Heatings struct{ known map[alike]*calc.Heating }

// Of is the thermal replica of a conductor up to its short-time limit.
func (h *Heatings) Of(c *Conductor) (*calc.Heating, error) {
	key := c.alike()
	if r, ok := h.known[key]; ok {
		return r, nil
	}
	r, err := c.Heating(max(c.shortTimeC, c.LimitC+1))
	if err != nil {
		return nil, err
	}
	if h.known == nil {
		h.known = map[alike]*calc.Heating{}
	}
	h.known[key] = r
	return r, nil
}

// Follow is how hot a cycle of currents makes a conductor, once it has been
// repeated so often that nothing changes any more; each step has its replica, that in
// the air in which it flows. Source: as calc.Heating.
func (c *Conductor) Follow(h []*calc.Heating, steps []calc.Interval) Peak {
	tempC, ok := settled(h, steps)
	if !ok {
		return Peak{OutOfRange: true, Step: greatest(steps), FromC: tempC, PeakC: tempC}
	}
	var best Peak
	for i, s := range steps {
		from := tempC
		if tempC, ok = after(h[i], s, tempC); !ok {
			return Peak{OutOfRange: true, Step: i, FromC: from, PeakC: tempC}
		}
		if i == 0 || tempC > best.PeakC {
			best = Peak{Step: i, FromC: from, PeakC: tempC}
		}
	}
	best.LeftS = h[best.Step].TimeTo(steps[best.Step].CurrentA, best.PeakC, c.LimitC)
	return best
}

// after is a temperature after a step, which may last for ever.
func after(h *calc.Heating, s calc.Interval, fromC float64) (float64, bool) {
	if s.S > foreverS {
		return h.Steady(s.CurrentA)
	}
	return h.After(s.CurrentA, fromC, s.S)
}

// foreverS is a time in s after which every conductor has settled: a day.
const foreverS = 86400

// settled is the temperature with which a cycle begins in the periodic state.
func settled(h []*calc.Heating, steps []calc.Interval) (tempC float64, ok bool) {
	tempC, ok = h[0].Steady(calc.LongRunA(steps))
	if !ok {
		return tempC, false
	}
	for range 1000 {
		start := tempC
		for i, s := range steps {
			if tempC, ok = after(h[i], s, tempC); !ok {
				return tempC, false
			}
		}
		if d := tempC - start; d < 0.01 && d > -0.01 {
			break
		}
	}
	return tempC, true
}

func greatest(steps []calc.Interval) (at int) {
	for i, s := range steps {
		if s.CurrentA > steps[at].CurrentA {
			at = i
		}
	}
	return at
}

// ExplainTimeBetween adds the time that a current takes to heat the conductor from
// one temperature to a higher one to a working: by it the end of a step can be
// followed by hand.
func (c *Conductor) ExplainTimeBetween(w *rules.Working, h *calc.Heating, currentA, fromC, toC float64) {
	c.explainHeating(w, h, calc.HeatingSymbols{Time: "t", From: "T_0", To: "T_p"}, currentA, fromC, toC)
}
