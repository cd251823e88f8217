package circuit

// meetsLater reports whether a search from a pole comes to where a conductor begins
// later than to where it ends, whichever of its ends the spec calls so: over the longer
// run, of equal runs (the links of a string count for nothing) over more parts, of
// equal numbers over more resistance.
func (p *protection) meetsLater(way *reached, e *Edge) bool {
	switch e {
	case way.by[e.To]:
		return false
	case way.by[e.From]:
		return true
	}
	// Neither end is reached over the conductor: it closes a ring.
	const alike = 1e-9 // m, and Ohm
	a, b := p.wayTo(way, e.From), p.wayTo(way, e.To)
	switch {
	case a.meters > b.meters+alike || b.meters > a.meters+alike:
		return a.meters > b.meters
	case a.parts != b.parts:
		return a.parts > b.parts
	case a.ohm > b.ohm+alike || b.ohm > a.ohm+alike:
		return a.ohm > b.ohm
	}
	return e.From > e.To
}

// wayLength is how far it is to a node.
type wayLength struct {
	meters, ohm float64
	parts       int
}

func (p *protection) wayTo(way *reached, v Node) wayLength {
	l := wayLength{meters: way.cost[v]}
	for e := way.by[v]; e != nil; e = way.by[v] {
		l.parts++
		if e.IsConductor() {
			l.ohm += p.ConductorResistance(e.ID, 20)
		}
		v = e.Other(v)
	}
	return l
}
