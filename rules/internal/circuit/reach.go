package circuit

// Passes says whether a search goes on through an edge that it enters from a node.
type Passes func(e *Edge, enter Node) bool

// Nodes is a set of nodes: by node, whether it belongs to it.
type Nodes []bool

// Has reports whether a node belongs to the set.
func (s Nodes) Has(v Node) bool { return s[v] }

// Reach is the set of nodes that a search finds from some nodes, themselves included.
func (n *Network) Reach(passes Passes, from ...Node) Nodes {
	return n.Tree(passes, from...).reached
}

// Reaches reports whether a search from one node comes to another.
func (n *Network) Reaches(from, to Node, passes Passes) bool {
	return n.tree(passes, to, from).reached[to]
}

// Tree is a search that knows the way back: each node has the edge by which it
// was found first, over the fewest edges.
type Tree struct {
	reached Nodes
	by      []*Edge
	order   []Node // in which they were found
}

// Tree searches from some nodes.
func (n *Network) Tree(passes Passes, from ...Node) *Tree { return n.tree(passes, nowhere, from...) }

// tree is Tree until a node is found.
func (n *Network) tree(passes Passes, goal Node, from ...Node) *Tree {
	n.proceed()
	t := &Tree{reached: make(Nodes, n.Nodes()), by: make([]*Edge, n.Nodes())}
	for _, v := range from {
		if !t.reached[v] {
			t.reached[v] = true
			t.order = append(t.order, v)
		}
	}
	for i := 0; i < len(t.order) && (goal == nowhere || !t.reached[goal]); i++ {
		v := t.order[i]
		for _, e := range n.at[v] {
			if w := e.Other(v); !t.reached[w] && passes(e, v) {
				t.reached[w], t.by[w] = true, e
				t.order = append(t.order, w)
			}
		}
	}
	return t
}

// Has reports whether a node was found.
func (t *Tree) Has(v Node) bool { return t.reached[v] }

// Back lists the edges from a node back to where the search began; false if it was
// not found.
func (t *Tree) Back(v Node) (edges []*Edge, ok bool) {
	if !t.reached[v] {
		return nil, false
	}
	for e := t.by[v]; e != nil; e = t.by[v] {
		edges = append(edges, e)
		v = e.Other(v)
	}
	return edges, true
}

// Poles is what is found from the positive and from the negative poles of sources.
type Poles struct{ Pos, Neg Nodes }

// ReachPoles searches from two nodes: outward with the current from the positive
// one, and back against it from the negative one.
func (n *Network) ReachPoles(passes func(outward bool) Passes, pos, neg Node) Poles {
	return Poles{n.Reach(passes(true), pos), n.Reach(passes(false), neg)}
}

// Span reports whether an element hangs between the two.
func (p Poles) Span(e *Edge) bool {
	return e != nil && (p.Pos[e.From] && p.Neg[e.To] || p.Pos[e.To] && p.Neg[e.From])
}

// AllClosed passes metal with every switch and contact closed.
func AllClosed(e *Edge, _ Node) bool { return e.Conducts() }

// AllOpen passes metal with every switch and contact open.
func AllOpen(e *Edge, _ Node) bool {
	return e.Conducts() && e.Kind != SwitchEdge && e.Kind != ContactEdge
}

// Without passes what another passes but for some edges.
func Without(passes Passes, edges ...*Edge) Passes {
	return func(e *Edge, enter Node) bool {
		for _, x := range edges {
			if x == e {
				return false
			}
		}
		return passes(e, enter)
	}
}

// Forward passes metal with every switch and contact closed, and diodes in the
// direction in which they let a current through.
func Forward(e *Edge, enter Node) bool {
	return e.Conducts() || e.Kind == DiodeEdge && enter == e.From
}

// ClosedMetal passes the metal that is closed in a solution.
func (s *Solution) ClosedMetal(e *Edge, _ Node) bool {
	if e.Kind == SwitchEdge || e.Kind == ContactEdge || e.Kind == PlugEdge {
		return s.Closed(e.ID)
	}
	return e.Conducts()
}

// Feeding passes the metal that is closed in a solution, and diodes: outward with
// the current of a source, or back against it.
func (s *Solution) Feeding(outward bool) Passes {
	return func(e *Edge, enter Node) bool {
		if e.Kind == DiodeEdge {
			return (enter == e.From) == outward
		}
		return s.ClosedMetal(e, enter)
	}
}
