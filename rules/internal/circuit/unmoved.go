package circuit

import (
	"math"
	"slices"
)

// Unmoved is the solution of a case in which one contactor waits, as far as what is closed
// and what runs: that of the case in which it does not wait, where it is the last to move
// there and what hangs on its contact surely moves nothing else. It differs in what hangs
// on that contact, and by less than a tenth of what any coil, converter or law is from its
// threshold; nil where that is not known.
//
// A coil that is asked what it gets before it pulls in needs no solution of its own then.
func (n *Network) Unmoved(c Case) *Solution {
	as := n.canonical(c)
	i, ok := n.plan().coilOf[as.Waiting]
	if !ok || as.Open != "" || as.Closed != "" || len(n.plan().coils) < leastCoils {
		return nil
	}
	free := n.free(as)
	if free.Failed != "" || free.Chatter != nil || !movesLast(free.states, i) {
		return nil
	}
	as.Waiting = ""
	slack := n.slacks.get(as, func() *slack { return n.findSlack(as) })
	if !(slack.ofCoil[i] > 0) {
		return nil
	}
	own := *free
	own.Case = c
	return &own
}

// leastCoils is how many coils make it worth the while to look at what they have in common.
const leastCoils = 4

// movesLast reports whether a mover operates in the last state and in none before.
func movesLast(states []string, mover int) bool {
	last := len(states) - 1
	return last > 0 && states[last][mover] == digit(true) &&
		!slices.ContainsFunc(states[:last], func(state string) bool { return state[mover] == digit(true) })
}

// slack is what a solution has left before anything moves. To first order a current i taken
// off between two nodes shifts the voltage over an element by i z, where z is an entry of the
// inverse of the equations. That matrix is positive definite, so the entry is no more than
// the geometric mean of what the two nodes and the element see of the network themselves
// (Cauchy and Schwarz): one number tells of all elements how far the nearest is.
type slack struct {
	ofCoil []float64 // by coil: above zero if its contact may open and nothing else moves
}

// safeShare is what a shift may be of the way to a threshold. That it is little makes the
// first order good enough: the curve of a load over a tenth of its voltage is a line, nearly.
const safeShare = 0.1

func (n *Network) findSlack(c Case) *slack {
	s := newSolver(n)
	s.begin(c)
	out := &slack{ofCoil: make([]float64, len(s.coils))}
	if s.rest(&Solution{}, nil) != nil {
		return out
	}
	left := s.leastLeft()
	reflected := s.reflection()
	for j := range s.elements {
		e := &s.elements[j]
		if e.Kind != ContactEdge || !s.opensAlone(e) {
			continue
		}
		from, to, ok := n.consumers(e.Edge)
		if !ok || !s.active(e.Edge) || s.together[from] != s.together[to] {
			continue
		}
		shift := math.Abs(s.flows(j)) * (math.Sqrt(s.seen(from, to)) + reflected)
		out.ofCoil[e.mover] = safeShare*left - shift
	}
	return out
}

// opensAlone reports whether a contact is the only one of its coil, and closed, by a coil
// that takes the same current before and after it has operated.
func (s *solver) opensAlone(e *element) bool {
	at := &s.coilsAt[e.mover]
	return !e.breaks && s.operated[e.mover] && at.idle == at.held && s.isClosed(e.Edge) &&
		len(slices.DeleteFunc(slices.Clone(s.byPart[e.Part]), func(x *Edge) bool { return x.Kind != ContactEdge })) == 1
}

// consumers are the two nodes between which what hangs on a contact draws its current: the
// contact's own on the side of the sources, and the one to which all its loads return. False
// where there are several, or more hangs on it than loads: without the contact it would
// not be dead.
func (n *Network) consumers(contact *Edge) (from, to Node, ok bool) {
	behind, ok := n.Hanging(contact)
	if !ok || len(behind) > maxDead {
		return 0, 0, false
	}
	from = contact.From
	if slices.Contains(behind, from) {
		from = contact.To
	}
	to = from
	for _, v := range behind {
		for _, e := range n.at[v] {
			w := e.Other(v)
			switch {
			case e == contact || slices.Contains(behind, w) && (e.carriesFault() || e.Kind == LoadEdge):
			case e.Kind != LoadEdge || to != from && to != w:
				return 0, 0, false
			default:
				to = w
			}
		}
	}
	return from, to, true
}

// seen is the resistance that two nodes see of the network, in Ohm.
func (s *solver) seen(a, b Node) float64 {
	x, y := s.last.forward(a), s.last.forward(b)
	return max(0, s.last.product(x, x)+s.last.product(y, y)-2*s.last.product(x, y))
}

// leastLeft is the least of what is left of voltage before an element answers, over the root
// of the resistance that it sees, in V per root of Ohm.
func (s *solver) leastLeft() float64 {
	least := math.Inf(1)
	left := func(volts float64, a, b Node) {
		if s.together[a] == s.together[b] && a != b {
			least = min(least, volts/math.Sqrt(s.seen(a, b)))
		}
	}
	for i := range s.coils {
		left(s.coilMargin(i), s.coils[i].coil.From, s.coils[i].coil.To)
	}
	for i := range s.converters {
		c := &s.converters[i]
		left(s.converterMargin(i), c.in.From, c.in.To)
		if c.enable != nowhere {
			left(s.converterMargin(i), c.enable, c.in.To)
			left(s.converterMargin(i), c.enable, c.out.To)
		}
	}
	for j := range s.elements {
		e, v := s.elements[j].Edge, s.across(j)
		if e.Kind == BatteryEdge {
			left(math.Abs(v-leastSource), e.From, e.To)
		}
		if volts := s.laws[j].bend(v); !math.IsInf(volts, 1) {
			left(volts, e.From, e.To)
		}
	}
	return least
}

// leastSource is the voltage below which nobody takes a battery for a source, in V.
const leastSource = 1

// reflection is what the inputs of the converters that run add to a current taken off
// at an output: their currents change as well, by the power. It is in root of Ohm; twice
// what one source alone would see.
func (s *solver) reflection() (sum float64) {
	for k := range s.converters {
		c := &s.converters[k]
		in, out := s.voltage(c.in), s.voltage(c.out)
		if s.running[k] && in > 0 && s.active(c.in) {
			sum += 2 * math.Abs(out) / (c.efficiency / 100 * in) * math.Sqrt(s.seen(c.in.From, c.in.To))
		}
	}
	return sum
}
