package circuit

import (
	"slices"
	"strings"
)

// faultDiode is a diode as the linear network of a fault holds it: in its own
// direction metal where the greatest fault is asked for, and for the least the
// resistance that gives its forward drop at its rated current, more than it has
// at the current of a fault; against it next to nothing. Either errs to the safe
// side.
func (n *Network) faultDiode(e *Edge, c FaultCase) law {
	switch d := n.Spec.Diodes[e.Part]; {
	case c.blocks(e):
		return ohms(blockedOhm)
	case c.Greatest:
		return ohms(leastOhm)
	default:
		return ohms(d.ForwardV.Or(n.Spec.Policy.DiodeForwardV) / d.ForwardAtA.Or(d.ContinuousA.Or(1)))
	}
}

const (
	blockedOhm = 1e6  // felt nowhere, and yet both its sides stay one network
	reverseA   = 1e-3 // from which a diode that conducts should block; less is rounding
	forwardV   = 1e-3 // from which one that blocks should conduct
)

func (c FaultCase) blocks(diode *Edge) bool {
	if c.blocking == "" {
		return false
	}
	// One of the ids between spaces, without making a list of them.
	for rest := c.blocking; ; {
		id, after, more := strings.Cut(rest, " ")
		if id == diode.ID || !more {
			return id == diode.ID
		}
		rest = after
	}
}

// turn puts diodes into their other state.
func (c FaultCase) turn(diodes []*Edge) FaultCase {
	ids := splitIDs(c.blocking)
	for _, e := range diodes {
		if i := slices.Index(ids, e.ID); i >= 0 {
			ids = slices.Delete(ids, i, i+1)
		} else {
			ids = append(ids, e.ID)
		}
	}
	slices.Sort(ids)
	c.blocking = strings.Join(ids, " ")
	return c
}

// beforeFault is the network of a case with its diodes in the state in which they
// stand before there is a short circuit; nil when it cannot be solved.
func (n *Network) beforeFault(c FaultCase) *thevenin {
	return n.resting.get(c, func() *thevenin {
		return n.thevenin(n.settleDiodes(c, n.diodes, func(c FaultCase) func(Node) float64 {
			if t := n.thevenin(c); t != nil {
				return t.volts
			}
			return nil
		}))
	})
}

// diodesBetween lists the diodes that a short circuit between two nodes may turn.
func (n *Network) diodesBetween(a, b Node) (list []*Edge) {
	for _, i := range n.blocks().diodesBetween(a, b) {
		list = append(list, n.diodes[i])
	}
	return list
}

// settleDiodes finds the state of some diodes that agrees with the voltages to
// which it leads. All that are wrong are turned together at first, then the first
// of them alone, which comes to an end in every network of resistances (Murty's
// rule for linear complementarity problems).
func (n *Network) settleDiodes(c FaultCase, diodes []*Edge, volts func(FaultCase) func(Node) float64) FaultCase {
	const together, most = 4, 200
	for round := range most {
		at := volts(c)
		if at == nil {
			break
		}
		var wrong []*Edge
		for _, e := range diodes {
			over := at(e.From) - at(e.To)
			if c.blocks(e) && over > forwardV || !c.blocks(e) && over*n.faultDiode(e, c).g < -reverseA {
				wrong = append(wrong, e)
			}
		}
		if len(wrong) == 0 {
			break
		}
		if round >= together {
			wrong = wrong[:1]
		}
		c = c.turn(wrong)
	}
	return c
}

// keepOrigin keeps what networks with other diodes blocking follow from.
func (t *thevenin) keepOrigin(s *solver) {
	t.rhs = slices.Clone(s.rhs)
	t.origin = t.factor.origin(t.rhs)
	t.added = make([]float64, len(s.laws))
	for _, j := range s.live {
		if l := &s.laws[j]; s.active(s.elements[j].Edge) {
			_, t.added[j] = l.of(l.at)
		}
	}
}

// turned is the network of a case that differs from that of another in which of its
// diodes block; nil when its equations cannot be factorised.
func (n *Network) turned(t *thevenin, c FaultCase) *thevenin {
	if t.state == c {
		return t
	}
	return n.turnings.get(c, func() *thevenin {
		turned, nodes := map[int]float64{}, []Node(nil)
		for _, e := range n.diodes {
			if c.blocks(e) != t.state.blocks(e) {
				turned[e.index] = n.faultDiode(e, c).g
				nodes = append(nodes, e.From, e.To)
			}
		}
		f, ok := t.factor.renew(t.origin, nodes, changed{t, turned})
		if !ok {
			return nil
		}
		x := *t
		x.factor, x.state, x.turned, x.resting, x.v, x.columns = f, c, turned, t, nil, nil
		x.tree = x.ways()
		return &x
	})
}
