package circuit

import "slices"

// Chain is a row of diodes and resistors that leads from one group of nodes to
// another, with nothing but conductors between them: the shape of a suppression
// across a coil.
type Chain struct {
	Parts []*Edge // the diodes and resistors, in their order
	// Forward and Backward report whether the diodes let a current through
	// from the first group to the second, and the other way.
	Forward, Backward bool
}

// longestChain bounds the search: no suppression has more parts in series.
const longestChain = 6

// Chains lists the chains between two groups of nodes that hold no part twice.
// Parts that are spare do not count, nor does a point that anything but diodes
// and resistors hangs on, such as a fused feed or a logic input.
func (n *Network) Chains(from, to []Node) []Chain {
	var out []Chain
	var extend func(at, passed []Node, c Chain)
	extend = func(at, passed []Node, c Chain) {
		for _, v := range at {
			for _, e := range n.at[v] {
				next := e.Other(v)
				if !n.inChain(e) || slices.Contains(c.Parts, e) || slices.Contains(passed, next) {
					continue
				}
				longer := Chain{append(slices.Clone(c.Parts), e), c.Forward, c.Backward}
				if e.Kind == DiodeEdge {
					longer.Forward = c.Forward && v == e.From
					longer.Backward = c.Backward && v == e.To
				}
				if slices.Contains(to, next) {
					out = append(out, longer)
					continue
				}
				if between := n.Joined(next); len(longer.Parts) < longestChain && n.onlyChains(between) {
					extend(between, slices.Concat(passed, between), longer)
				}
			}
		}
	}
	extend(from, from, Chain{Forward: true, Backward: true})
	return out
}

// inChain reports whether an edge is a diode or a resistor that is a part of
// its own.
func (n *Network) inChain(e *Edge) bool {
	switch e.Kind {
	case DiodeEdge:
		return !n.Spec.Diodes[e.Part].Spare
	case ResistorEdge:
		r, ok := n.Spec.Resistors[e.Part] // else a controller's bleed resistor
		return ok && !r.Spare
	}
	return false
}

// onlyChains reports whether nothing but parts of chains hangs on some nodes.
func (n *Network) onlyChains(nodes []Node) bool {
	return !slices.ContainsFunc(nodes, func(v Node) bool {
		return slices.ContainsFunc(n.at[v], func(e *Edge) bool { return !e.IsConductor() && !n.inChain(e) })
	})
}
