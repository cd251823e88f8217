package circuit

import (
	"cmp"
	"math"
	"slices"
)

// Opening is a state in which something has just cut an element off from its batteries.
type Opening struct {
	By     *Edge   // what opened: a contact, a pole or a fuse; nil for the batteries themselves
	Beside []*Edge // what closed metal still joins to both poles of the element, itself included
}

// Openings lists what can cut an element off from the batteries in a solution: of the
// contacts and poles that carry most of its current, and then of the fuses, those that
// leave it no battery when they open, and the batteries themselves last. It is empty
// where no battery is joined to it.
func (s *Solution) Openings(e *Edge) (out []Opening) {
	all, fed := s.beside(e, nil)
	if !fed {
		return nil
	}
	amperes := math.Abs(s.CurrentAt(e))
	for _, x := range s.network.Edges {
		if !x.opens() || !s.ClosedMetal(x, x.From) || math.Abs(s.CurrentAt(x)) < amperes/2 {
			continue
		}
		if left, fed := s.beside(e, x); !fed {
			out = append(out, Opening{x, left})
		}
	}
	slices.SortStableFunc(out, func(a, b Opening) int {
		return cmp.Compare(a.By.order(), b.By.order())
	})
	return append(out, Opening{nil, all})
}

// opens reports whether an edge is made to open, by hand, by a coil or by heat.
func (e *Edge) opens() bool {
	return e.Kind == SwitchEdge || e.Kind == ContactEdge || e.Kind == FuseEdge
}

// order puts what is opened on purpose before fuses.
func (e *Edge) order() int {
	if e.Kind == FuseEdge {
		return 1
	}
	return 0
}

// beside lists what closed metal, one edge left out, joins to both poles of an element,
// and reports whether a string of batteries is.
func (s *Solution) beside(e, open *Edge) (out []*Edge, fed bool) {
	n, passes := s.network, Without(s.ClosedMetal, open)
	poles := n.ReachPoles(func(bool) Passes { return passes }, e.From, e.To)
	for _, x := range n.Edges {
		if poles.Span(x) && !x.Conducts() {
			out = append(out, x)
		}
	}
	return out, slices.ContainsFunc(n.Strings(), func(list SeriesString) bool {
		whole := poles.Pos[list.Pos()] && poles.Neg[list.Neg()]
		for i := 1; i < len(list) && whole; i++ {
			whole = n.Reaches(list[i-1].Pos, list[i].Neg, passes)
		}
		return whole
	})
}
