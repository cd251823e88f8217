package circuit

import "sort"

// branch is what lies beyond a conductor: what it alone feeds; of a conductor in
// a ring, what its far end reaches without passing its near end or what lies on every way
// from the source to that. A loop through the conductor meets nothing twice, so that none
// leads back over what has brought the current there.
type branch struct {
	tree    *dominators // with the interval of the conductor in the walk over it
	in, out int
	ring    *reached // in place of the tree
}

func (p *protection) beyond(e *Edge, here *side, g Guard) branch {
	if d := here.trickled; d.over(e, g.Far) {
		x := d.nodes + e.index
		return branch{tree: d, in: d.in[x], out: d.out[x]}
	}
	cost := p.cost(here.name, true, everyResistor)
	ring := p.borrowReached()
	p.Network.search(ring, []Node{g.Far}, nowhere, func(e *Edge, enter Node) (float64, bool) {
		if here.trickled.before(e.Other(enter), g.Near) {
			return 0, false
		}
		return cost(e, enter)
	})
	return branch{ring: ring}
}

func (b branch) has(v Node) bool {
	if b.ring != nil {
		return b.ring.has(v)
	}
	return b.tree.has(v) && b.in <= b.tree.in[v] && b.tree.in[v] <= b.out
}

// returns lists where the parts beyond a conductor are tied to the other side.
func (s *side) returns(beyond branch) []Node {
	var out []Node
	s.beyond(beyond, len(s.loops), func(i int) Node { return s.loops[i].here }, func(i int) { out = append(out, s.loops[i].there) })
	return sortedNodes(out)
}

// beyond yields which of so many things lie beyond a conductor, where they stand in
// the order in which the walk over the tree trickled comes to their nodes.
func (s *side) beyond(b branch, count int, at func(i int) Node, yield func(i int)) {
	d := s.trickled
	between := func(in, out int) {
		first := sort.Search(count, func(i int) bool { return d.in[at(i)] >= in })
		for i := first; i < count && d.in[at(i)] <= out; i++ {
			if b.has(at(i)) {
				yield(i)
			}
		}
	}
	if b.ring == nil {
		between(b.in, b.out)
		return
	}
	for _, v := range b.ring.nodes {
		between(d.in[v], d.in[v])
	}
}
