package circuit

import "slices"

// blocks are the blocks of the network (its biconnected components), as of short
// circuits: of metal with everything closed, resistors, diodes and batteries. A
// current that a short drives from one node to another changes nothing in a block
// that does not lie between the two.
//
// Each node but the first of a part hangs on it in one block, by the node of that
// block which is nearest to it.
type blocks struct {
	hangs  []int   // by node, the block; -1 for the first of a part
	depth  []int   // by node, how many blocks lie between it and the first of its part
	part   []int   // by node
	top    []Node  // by block, its node nearest to the first of the part
	diodes [][]int // by block, as places in Network.diodes, ascending

	bridge  []*Edge // by node, the edge that alone joins it and what was met behind it to the rest; nil for none
	order   []Node  // as the walk met them: what was met behind a node follows it
	entered []int   // by node, its place in that order, from 1
	last    []int   // by node, the place of the last that was met behind it
}

// findBlocks finds the blocks by a walk in depth (Hopcroft and Tarjan, "Efficient
// algorithms for graph manipulation").
func (n *Network) findBlocks() *blocks {
	const none = -1
	b := &blocks{hangs: make([]int, n.Nodes()), depth: make([]int, n.Nodes()), part: make([]int, n.Nodes()),
		bridge: make([]*Edge, n.Nodes()), entered: make([]int, n.Nodes()), last: make([]int, n.Nodes())}
	entered, low := b.entered, make([]int, n.Nodes()) // 0 for a node that was not met
	type visit struct {
		node Node
		by   *Edge // nil for the first of a part
		next int   // of the edges at the node
	}
	var walk []visit
	var open []Node // nodes that are in no block yet
	met := 0
	for first := range n.at {
		if entered[first] > 0 {
			continue
		}
		met++
		entered[first], low[first], b.hangs[first], b.part[first] = met, met, none, first
		walk = append(walk[:0], visit{node: Node(first)})
		for len(walk) > 0 {
			at := &walk[len(walk)-1]
			v := at.node
			if at.next < len(n.at[v]) {
				e := n.at[v][at.next]
				at.next++
				w := e.Other(v)
				switch {
				case e == at.by || w == v || !e.carriesFault():
				case entered[w] > 0:
					low[v] = min(low[v], entered[w])
				default:
					met++
					entered[w], low[w], b.part[w] = met, met, first
					open = append(open, w)
					walk = append(walk, visit{node: w, by: e})
				}
				continue
			}
			by := at.by
			b.last[v] = met
			walk = walk[:len(walk)-1]
			if len(walk) == 0 {
				break
			}
			if low[v] == entered[v] {
				b.bridge[v] = by
			}
			up := walk[len(walk)-1].node
			low[up] = min(low[up], low[v])
			if low[v] >= entered[up] { // what was found behind up since is a block
				for block := len(b.top); ; {
					w := open[len(open)-1]
					open = open[:len(open)-1]
					b.hangs[w] = block
					if w == v {
						break
					}
				}
				b.top = append(b.top, up)
			}
		}
	}
	b.measure(n)
	return b
}

// measure finds the depth of each node, from the first down, and the diodes of each block.
func (b *blocks) measure(n *Network) {
	b.order = make([]Node, n.Nodes())
	for v, place := range b.entered {
		b.order[place-1] = Node(v)
	}
	for _, v := range b.order {
		if block := b.hangs[v]; block >= 0 {
			b.depth[v] = b.depth[b.top[block]] + 1
		}
	}
	b.diodes = make([][]int, len(b.top))
	for i, e := range n.diodes {
		if e.From != e.To {
			block := b.hangs[e.From]
			if b.depth[e.To] > b.depth[e.From] {
				block = b.hangs[e.To]
			}
			b.diodes[block] = append(b.diodes[block], i)
		}
	}
}

// diodesBetween lists the diodes, as places in Network.diodes, in whose blocks
// something changes when two nodes are shorted.
func (b *blocks) diodesBetween(x, y Node) (places []int) {
	if b.part[x] != b.part[y] {
		return nil
	}
	for x != y {
		if b.depth[x] < b.depth[y] {
			x, y = y, x
		}
		block := b.hangs[x]
		places = append(places, b.diodes[block]...)
		if b.hangs[y] == block {
			break
		}
		x = b.top[block]
	}
	slices.Sort(places)
	return places
}

// Hanging lists the nodes on one side of an edge, of the metal, resistors, diodes and
// batteries that nothing else joins to the other side. False where something does, or
// where a source is on that side too.
func (n *Network) Hanging(e *Edge) (nodes []Node, ok bool) {
	b := n.blocks()
	for _, v := range []Node{e.From, e.To} {
		if b.bridge[v] == e {
			nodes = b.order[b.entered[v]-1 : b.last[v]]
			return nodes, !slices.ContainsFunc(nodes, func(v Node) bool { return slices.ContainsFunc(n.at[v], (*Edge).isSource) })
		}
	}
	return nil, false
}

// behind reports whether a node is another, or was met behind that.
func (b *blocks) behind(top, v Node) bool {
	return b.entered[top] <= b.entered[v] && b.entered[v] <= b.last[top]
}

// carriesFault reports whether an edge may carry current in a short circuit of
// batteries alone.
func (e *Edge) carriesFault() bool {
	switch e.Kind {
	case ResistorEdge, DiodeEdge, BatteryEdge:
		return true
	}
	return e.Conducts()
}
