package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// Short is the temperature along a conductor whose ends are held at the limits of
// their terminals, and how it comes about.
type Short struct {
	calc.Fin
	ID       string
	MetreM   float64 // length
	EndC     [2]float64
	Declared bool    // both terminals state their limit
	OwnC     float64 // what insulation or bar itself withstand
}

// Reaches reports whether the conductor is so short that its terminals carry off
// heat along all of it: shorter than 2/m. Source: heat transfer textbooks (fin).
func (s Short) Reaches() bool { return s.MetreM < 2*s.LengthM }

// Short works out the temperature along a conductor at a steady current in A. It
// is false where no temperature holds: the current is then too great however
// well its ends are cooled.
func (c *Conductor) Short(p *rules.Pass, currentA float64) (Short, bool) {
	s := Short{ID: c.ID, Declared: true}
	from, to := "", ""
	if w, ok := p.Spec.Wires[c.ID]; ok {
		s.MetreM, from, to = w.LengthM, w.From, w.To
	} else {
		b := p.Spec.Busbars[c.ID]
		s.MetreM, from, to = b.LengthMM/1000, b.From, b.To
	}
	for i, end := range []string{from, to} {
		limit, declared := terminalLimitC(p, end)
		s.EndC[i], s.Declared = limit, s.Declared && declared
	}
	var err error
	if c.bar != nil {
		s.OwnC = barLimitC
		s.Fin, err = calc.ShortBar(*c.bar, s.MetreM, currentA, c.AmbientC, s.EndC[0], s.EndC[1])
	} else {
		s.OwnC = c.insulationC
		s.Fin, err = calc.ShortCable(*c.cable, s.MetreM, currentA, c.AmbientC, s.EndC[0], s.EndC[1])
	}
	return s, err == nil
}

// ShortA is the current in A at which the conductor reaches its own limit between its
// terminals at theirs, no less than its ampacity in A, and its state there. It is false
// for one that is not so short, or whose ampacity is none.
func (c *Conductor) ShortA(p *rules.Pass, ampacityA float64) (a float64, s Short, ok bool) {
	fits := func(a float64) (Short, bool) {
		s, ok := c.Short(p, a)
		return s, ok && s.Reaches() && s.HottestC <= s.OwnC
	}
	if s, ok = fits(ampacityA); !ok || ampacityA <= 0 {
		return 0, Short{}, false
	}
	low, high := ampacityA, 20*ampacityA
	for range 40 {
		mid := (low + high) / 2
		if at, ok := fits(mid); ok {
			low, s = mid, at
		} else {
			high = mid
		}
	}
	return low, s, true
}

// terminalLimitC is the temperature that a terminal may take, in C, and whether
// the spec states it.
func terminalLimitC(p *rules.Pass, terminal string) (limitC float64, declared bool) {
	id, _, _ := cut(terminal)
	if part := p.Spec.Part(id); part != nil && part.Common().MaxC.Known {
		return part.Common().MaxC.Value, true
	}
	return p.Spec.Policy.TerminalMaxC, false
}

// Explain adds the temperature along the conductor to a working.
func (s Short) Explain(w *rules.Working) { w.Lines(s.Steps()...) }
