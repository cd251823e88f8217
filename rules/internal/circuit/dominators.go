package circuit

import "slices"

// dominators is the dominator tree of the network as seen from one node: what
// lies on every way to what. Edges take part as vertices of their own, so that
// it answers which fuse or conductor cuts off which node.
//
// Vertices are the nodes, and then the edges, numbered from Network.Nodes().
type dominators struct {
	nodes      int
	idom       []int // immediate dominator of each vertex; -1 for one out of reach
	in, out    []int // the vertex's interval in a walk over the tree
	fuseAbove  []int // index of the nearest edge with a fuse above, or at, the vertex; -1
	fuseParent []int // the same for what lies above that fuse, by edge
}

// may says whether an edge may be used when it is entered from a node.
type may func(e *Edge, enter Node) bool

// dominators computes the tree (Cooper, Harvey and Kennedy, "A simple, fast
// dominance algorithm").
func (n *Network) dominators(root Node, use may) *dominators {
	d := &dominators{nodes: n.Nodes()}
	order, number := d.postorder(n, root, use)
	d.idom = make([]int, d.nodes+len(n.Edges))
	for v := range d.idom {
		d.idom[v] = -1
	}
	d.idom[root] = int(root)
	for changed := true; changed; {
		changed = false
		for i := len(order) - 2; i >= 0; i-- { // reverse postorder, without the root
			v := order[i]
			best := -1
			for _, p := range d.predecessors(n, v, use) {
				switch {
				case d.idom[p] < 0:
				case best < 0:
					best = p
				default:
					best = d.meet(p, best, number)
				}
			}
			if best != d.idom[v] {
				d.idom[v] = best
				changed = true
			}
		}
	}
	d.walk(n, root, order)
	return d
}

// successors lists the vertices that follow a vertex.
func (d *dominators) successors(n *Network, v int, use may) []int {
	if v >= d.nodes {
		e := n.Edges[v-d.nodes]
		var out []int
		if use(e, e.From) {
			out = append(out, int(e.To))
		}
		if use(e, e.To) {
			out = append(out, int(e.From))
		}
		return out
	}
	var out []int
	for _, e := range n.at[v] {
		if use(e, Node(v)) {
			out = append(out, d.nodes+e.index)
		}
	}
	return out
}

// predecessors lists the vertices that a vertex follows.
func (d *dominators) predecessors(n *Network, v int, use may) []int {
	var out []int
	if v >= d.nodes {
		e := n.Edges[v-d.nodes]
		for _, end := range []Node{e.From, e.To} {
			if use(e, end) {
				out = append(out, int(end))
			}
		}
		return out
	}
	for _, e := range n.at[v] {
		if use(e, e.Other(Node(v))) {
			out = append(out, d.nodes+e.index)
		}
	}
	return out
}

// postorder lists the vertices in reach in postorder of a depth-first search,
// and the number of each.
func (d *dominators) postorder(n *Network, root Node, use may) (order, number []int) {
	type frame struct {
		vertex int
		rest   []int
	}
	total := d.nodes + len(n.Edges)
	number = make([]int, total)
	seen := make([]bool, total)
	seen[root] = true
	stack := []frame{{int(root), d.successors(n, int(root), use)}}
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		if len(top.rest) == 0 {
			number[top.vertex] = len(order)
			order = append(order, top.vertex)
			stack = stack[:len(stack)-1]
			continue
		}
		next := top.rest[0]
		top.rest = top.rest[1:]
		if !seen[next] {
			seen[next] = true
			stack = append(stack, frame{next, d.successors(n, next, use)})
		}
	}
	return order, number
}

// meet is the nearest common dominator of two vertices.
func (d *dominators) meet(a, b int, number []int) int {
	for a != b {
		for number[a] < number[b] {
			a = d.idom[a]
		}
		for number[b] < number[a] {
			b = d.idom[b]
		}
	}
	return a
}

// walk numbers the tree's intervals and finds the fuses above each vertex.
func (d *dominators) walk(n *Network, root Node, order []int) {
	total := len(d.idom)
	children := make([][]int, total)
	for _, v := range order {
		if v != int(root) {
			children[d.idom[v]] = append(children[d.idom[v]], v)
		}
	}
	d.in, d.out = make([]int, total), make([]int, total)
	d.fuseAbove = make([]int, total)
	d.fuseParent = make([]int, len(n.Edges))
	for v := range d.fuseAbove {
		d.fuseAbove[v] = -1
	}
	clock := 0
	stack := []int{int(root)}
	var entered []int
	for len(stack) > 0 {
		v := stack[len(stack)-1]
		if len(entered) > 0 && entered[len(entered)-1] == v {
			d.out[v] = clock
			stack, entered = stack[:len(stack)-1], entered[:len(entered)-1]
			continue
		}
		entered = append(entered, v)
		clock++
		d.in[v] = clock
		above := -1
		if v != int(root) {
			above = d.fuseAbove[d.idom[v]]
		}
		d.fuseAbove[v] = above
		if v >= d.nodes && n.isFused(n.Edges[v-d.nodes]) {
			d.fuseParent[v-d.nodes] = above
			d.fuseAbove[v] = v - d.nodes
		}
		stack = append(stack, children[v]...)
	}
}

// has reports whether a node is in reach.
func (d *dominators) has(v Node) bool { return d.idom[v] >= 0 }

// before reports whether a node lies on every way to another, or is that.
func (d *dominators) before(v, w Node) bool {
	return d.has(v) && d.has(w) && d.in[v] <= d.in[w] && d.in[w] <= d.out[v]
}

// over reports whether an edge lies on every way to a node.
func (d *dominators) over(e *Edge, v Node) bool {
	x := d.nodes + e.index
	return d.idom[x] >= 0 && d.has(v) && d.in[x] <= d.in[v] && d.in[v] <= d.out[x]
}

// fusesOver lists the fuses, and the batteries with one inside, each of which lies on
// every way to every one of the nodes; all must be in reach.
func (d *dominators) fusesOver(nodes []Node) []int {
	if len(nodes) == 0 {
		return nil
	}
	// A fuse over the first and the last node of the walk is over all between.
	by := func(a, b Node) int { return d.in[a] - d.in[b] }
	first, last := slices.MinFunc(nodes, by), slices.MaxFunc(nodes, by)
	var out []int
	for f := d.fuseAbove[first]; f >= 0; f = d.fuseParent[f] {
		if x := d.nodes + f; d.in[x] <= d.in[last] && d.in[last] <= d.out[x] {
			out = append(out, f)
		}
	}
	return out
}
