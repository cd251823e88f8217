package circuit

import (
	"cmp"
	"slices"
)

// Inside is what the fuses inside batteries do for a conductor against a source.
type Inside struct {
	// Batteries lists those each of whose fuse inside alone breaks every loop through the
	// far end, the smallest rating first: the source's own, and those of the batteries
	// through which all of the current flows. Where none does so alone, but several in
	// parallel strings do so together, it lists these, and Together is true.
	Batteries []string
	Together  bool
}

// Breaks reports whether fuses inside batteries break every loop.
func (i Inside) Breaks() bool { return len(i.Batteries) > 0 }

// Relies reports whether nothing but fuses inside batteries protects a conductor that is
// farther from the source than is allowed without a fuse.
func (g Guard) Relies() bool { return g.Inside.Breaks() && g.Exposed && !g.WithinDistance() }

// opensInside reports whether an edge is a battery with a fuse inside.
func (n *Network) opensInside(e *Edge) bool {
	return e.Kind == BatteryEdge && n.Spec.Batteries[e.Part].InternalFuseA.Known
}

// isFused reports whether a fuse opens the way over an edge: it is one, or a battery
// with one inside.
func (n *Network) isFused(e *Edge) bool { return e.Protects() || n.opensInside(e) }

// bySizeInside sorts batteries by the rating of the fuse inside, then by id.
func (n *Network) bySizeInside(ids []string) {
	rated := func(id string) float64 { return n.Spec.Batteries[id].InternalFuseA.Value }
	slices.SortFunc(ids, func(a, b string) int { return cmp.Or(cmp.Compare(rated(a), rated(b)), cmp.Compare(a, b)) })
}

// insideFor tells what fuses inside batteries do for a conductor; alone are those that
// do so alone, the source's own aside.
func (p *protection) insideFor(alone []string, far Node, closes []Node, here, there *side) Inside {
	if p.source.InternalFuseA > 0 {
		alone = append(alone, p.source.ID)
	}
	if len(alone) > 0 {
		p.bySizeInside(alone)
		return Inside{Batteries: slices.Compact(alone)}
	}
	for _, way := range []struct {
		s  *side
		to []Node
	}{{here, []Node{far}}, {there, closes}} {
		if len(way.to) > 0 && !slices.ContainsFunc(way.to, way.s.sealed.has) {
			return Inside{Batteries: way.s.inside, Together: true}
		}
	}
	return Inside{}
}

// firstInside lists the batteries with a fuse inside that a side's current comes to
// before any other fuse.
func (p *protection) firstInside(s *side) []string {
	if !p.hasInside() {
		return nil
	}
	use := p.use(s.name, everyResistor)
	var ids []string
	for _, e := range p.Edges {
		for _, enter := range []Node{e.From, e.To} {
			if p.opensInside(e) && s.sealed.has(enter) && use(e, enter) {
				ids = append(ids, e.Part)
			}
		}
	}
	p.bySizeInside(ids)
	return slices.Compact(ids)
}

// hasInside reports whether a battery but the source has a fuse inside.
func (p *protection) hasInside() bool {
	return slices.ContainsFunc(p.Edges, func(e *Edge) bool { return p.opensInside(e) && e.Part != p.source.ID })
}
