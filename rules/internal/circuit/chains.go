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

// Chains lists the chains between what conductors join to one node and to another,
// that hold no part twice. Parts that are spare do not count, nor does a point that
// anything but diodes and resistors hangs on, such as a fused feed or a logic input.
func (n *Network) Chains(from, to Node) []Chain {
	j := n.joints()
	var out []Chain
	var extend func(at int, passed []int, c Chain)
	extend = func(at int, passed []int, c Chain) {
		for _, s := range j.links[at] {
			next := j.of[s.edge.Other(s.enter)]
			if slices.Contains(c.Parts, s.edge) || slices.Contains(passed, next) {
				continue
			}
			longer := Chain{append(slices.Clone(c.Parts), s.edge), c.Forward, c.Backward}
			if s.edge.Kind == DiodeEdge {
				longer.Forward = c.Forward && s.enter == s.edge.From
				longer.Backward = c.Backward && s.enter == s.edge.To
			}
			if next == j.of[to] {
				out = append(out, longer)
				continue
			}
			if len(longer.Parts) < longestChain && !j.burden[next] {
				extend(next, append(slices.Clone(passed), next), longer)
			}
		}
	}
	extend(j.of[from], []int{j.of[from]}, Chain{Forward: true, Backward: true})
	return out
}

// joints are the nodes that wires and bus bars join to one.
type joints struct {
	of     []int    // number of the joint, by node
	links  [][]step // by joint, the parts of chains that lead out of it
	burden []bool   // by joint, whether anything else hangs on it
}

// findJoints numbers the joints in the order of their nodes.
func (n *Network) findJoints() *joints {
	zones, count := n.joinedZones((*Edge).IsConductor)
	j := &joints{of: zones, links: make([][]step, count), burden: make([]bool, count)}
	for v := range n.at {
		for _, e := range n.at[v] {
			switch zone := zones[v]; {
			case e.IsConductor():
			case n.inChain(e):
				j.links[zone] = append(j.links[zone], step{e, Node(v)})
			default:
				j.burden[zone] = true
			}
		}
	}
	return j
}

// Joined reports whether wires and bus bars alone join two nodes.
func (n *Network) Joined(a, b Node) bool {
	of := n.joints().of
	return of[a] == of[b]
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
