package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// current is a short circuit through a conductor as one fuse carries it. There are
// very many of them: the faults are not kept, but worked out again where they are
// explained; see [supply.most] and [supply.least].
type current struct {
	loop
	fuse    string
	mostA   float64 // at the near end of the conductor, batteries full and warm, copper cold
	leastA  float64 // at its far end, batteries empty and cold, copper hot
	limited bool    // the source supplies no more than this
	// mostTo and leastTo are where these short circuits close, of a battery.
	mostTo, leastTo circuit.Node
}

// The corners of the greatest and of the least short circuit of a conductor.
var (
	greatestCase = circuit.FaultCase{Greatest: true}
	leastCase    = circuit.FaultCase{}
)

// most is the greatest short circuit of a current, and least the least one, as its
// fuse carries them.
func (s *supply) most(x current) bolted {
	return s.through(x.fuse, x.Near, []circuit.Node{x.mostTo}, greatestCase)
}

func (s *supply) least(x current) bolted {
	return s.through(x.fuse, x.Far, []circuit.Node{x.leastTo}, leastCase)
}

// currents lists, for each loop through a conductor that a fuse breaks, the
// short circuit as each of its fuses carries it. Where a battery feeds the
// conductor, what converters and chargers add is left out: it is little, and
// the fuse must open without it.
func (s *supply) currents(id string) [][]current {
	out, ok := s.shorts[id]
	if !ok {
		out = s.findCurrents(id)
		s.shorts[id] = out
	}
	return out
}

// residue is the share of a short circuit that is only the rounding of none: the fuse
// is not in its loop.
const residue = 1e-5

// throughOf is what a fuse carries of a short circuit, in A.
func (s *supply) throughOf(fault *circuit.Fault, fuse string) float64 {
	a := fault.Through(s.Circuit.Edge(fuse))
	if a < residue*math.Abs(fault.A()) {
		return 0
	}
	return a
}

func (s *supply) findCurrents(id string) [][]current {
	var out [][]current
	for _, g := range s.feeders(id) {
		shorts := s.newShorts(g)
		for _, l := range s.loops(g) {
			var seen []current
			for _, x := range shorts.of(l) {
				if x.mostA > 0 && x.leastA > 0 {
					seen = append(seen, x)
				}
			}
			if len(seen) > 0 {
				out = append(out, seen)
			}
		}
	}
	return out
}

// shorts works out the short circuits through one conductor, loop by loop.
type shorts struct {
	*supply
	*circuit.Guard
	pole   circuit.Node   // the other one of the source
	atPole *circuit.Fault // from the near end to that pole, the same for all loops; nil if there is none
	known  map[string]float64
	all    []current
}

func (s *supply) newShorts(g *circuit.Guard) *shorts {
	x := &shorts{supply: s, Guard: g, pole: g.Source.Neg, known: map[string]float64{}}
	if g.Side == circuit.Negative {
		x.pole = g.Source.Pos
	}
	if g.Source.IsBattery() {
		if fault, ok := s.Circuit.Fault(g.Near, x.pole, greatestCase); ok {
			x.atPole = fault
		}
	}
	return x
}

// of is the short circuit of a loop as each of its fuses carries it; the list is
// good until the next.
func (x *shorts) of(l loop) []current {
	x.all = x.all[:0]
	for _, fuse := range l.fuses.ids {
		x.all = append(x.all, current{loop: l, fuse: fuse})
	}
	if limitA := x.Source.LimitA; !x.Source.IsBattery() {
		for i := range x.all {
			c := &x.all[i]
			c.mostA, c.leastA, c.limited = limitA, limitA, true
		}
		return x.all
	}
	for _, v := range l.back {
		most, ok := x.Circuit.Fault(x.Near, v, greatestCase)
		for i := range x.all {
			if c := &x.all[i]; ok {
				c.raise(x.throughOf(most, c.fuse), v)
			}
		}
		least, ok := x.Circuit.Fault(x.Far, v, leastCase)
		for i := range x.all {
			if c := &x.all[i]; ok {
				if a := x.throughOf(least, c.fuse); a > c.leastA {
					c.leastA, c.leastTo = a, v
				}
			}
		}
	}
	for i := range x.all {
		if c := &x.all[i]; x.atPole != nil {
			c.raise(x.throughAtPole(c.fuse), x.pole)
		}
	}
	return x.all
}

// raise makes a short circuit the greatest, if it is.
func (c *current) raise(currentA float64, to circuit.Node) {
	if currentA > c.mostA {
		c.mostA, c.mostTo = currentA, to
	}
}

// throughAtPole is what a fuse carries of the short circuit at the pole.
func (x *shorts) throughAtPole(fuse string) float64 {
	a, ok := x.known[fuse]
	if !ok {
		a = x.throughOf(x.atPole, fuse)
		x.known[fuse] = a
	}
	return a
}

// feeders lists the guards of a conductor that matter to a short circuit: the
// batteries', or where there is none those of limited sources.
func (s *supply) feeders(id string) []*circuit.Guard {
	var batteries, limited []*circuit.Guard
	for _, g := range s.guards[id] {
		if g.Source.IsBattery() {
			batteries = append(batteries, g)
		} else {
			limited = append(limited, g)
		}
	}
	if len(batteries) > 0 {
		return batteries
	}
	return limited
}

// knownBatteries says whether the short circuits of a conductor can be computed.
func (s *supply) knownBatteries(id string) error {
	for _, g := range s.feeders(id) {
		if !g.Source.IsBattery() {
			continue
		}
		if path, known := s.Circuit.ResistanceKnown(g.Source.Pos); !known {
			return &rules.Missing{Path: path, What: "the internal resistance of the battery"}
		}
	}
	return nil
}

// explainMost adds the greatest short circuit of a conductor to the working.
func (s *supply) explainMost(w *rules.Working, x current) error {
	if x.limited {
		w.Given("I_max", "current limit of "+x.Source.ID, x.mostA, "A", x.Source.LimitFrom)
		return nil
	}
	list := s.series(x.Source)
	if err := s.batterySteps(w, short{feed: feed{Source: x.Source}, batteries: list}, true); err != nil {
		return err
	}
	if w.Empty() {
		return nil
	}
	s.explainFault(w, s.most(x), "I_max", "greatest short-circuit current, at the near end of "+x.Conductor, "V_max", x.fuse,
		s.Spec.Vehicle.AmbientC.Min)
	return nil
}

// explainLeast adds the least short circuit of a conductor to the working.
func (s *supply) explainLeast(w *rules.Working, x current) error {
	if x.limited {
		w.Given("I_min", "current limit of "+x.Source.ID, x.leastA, "A", x.Source.LimitFrom)
		return nil
	}
	list := s.series(x.Source)
	if err := s.batterySteps(w, short{feed: feed{Source: x.Source}, batteries: list}, false); err != nil {
		return err
	}
	if w.Empty() {
		return nil
	}
	s.explainFault(w, s.least(x), "I_min", "least short-circuit current, at the far end of "+x.Conductor, "V_min", x.fuse,
		s.Spec.Policy.TerminalMaxC)
	return nil
}
