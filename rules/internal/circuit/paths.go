package circuit

import (
	"math"
	"slices"
)

// Path finds the cheapest way between two nodes over the edges that cost
// allows, or nil. The cost function says what an edge costs when it is entered
// from a node; not ok means that it may not be used from there.
func (n *Network) Path(from, to Node, cost func(e *Edge, enter Node) (c float64, ok bool)) []*Edge {
	r := n.borrowReached()
	defer n.giveBack(r)
	n.search(r, []Node{from}, to, cost)
	if !r.has(to) {
		return nil
	}
	var path []*Edge
	for v := to; v != from; {
		e := r.by[v]
		path = append(path, e)
		v = e.Other(v)
	}
	slices.Reverse(path)
	return path
}

// PlainPath is Path over metal, resistors, diodes and batteries alone, whatever cost says of
// others. It looks into nothing that one edge alone joins to the rest, unless the goal is there:
// no way leads through it, and none is chosen for it.
func (n *Network) PlainPath(from, to Node, cost func(e *Edge, enter Node) (c float64, ok bool)) []*Edge {
	b := n.blocks()
	return n.Path(from, to, func(e *Edge, enter Node) (float64, bool) {
		if !e.carriesFault() {
			return 0, false
		}
		if next := e.Other(enter); b.bridge[next] == e && !b.behind(next, to) || b.bridge[enter] == e && b.behind(enter, to) {
			return 0, false // away from it
		}
		return cost(e, enter)
	})
}

// reached is what a search from one node found: the cost of each node, +Inf
// for one out of reach, and the edge by which it is reached.
type reached struct {
	cost  []float64
	by    []*Edge
	nodes []Node   // that were reached
	queue frontier // empty but during the search
}

func (n *Network) newReached() *reached {
	r := &reached{cost: make([]float64, n.Nodes()), by: make([]*Edge, n.Nodes())}
	for v := range r.cost {
		r.cost[v] = math.Inf(1)
	}
	return r
}

// borrowReached is room for a search that is to be given back, so that one that
// reaches little costs little, however large the network.
func (n *Network) borrowReached() *reached {
	if r, ok := n.searches.Get().(*reached); ok {
		return r
	}
	return n.newReached()
}

// giveBack clears what was borrowed for the next search.
func (n *Network) giveBack(r *reached) {
	for _, v := range r.nodes {
		r.cost[v], r.by[v] = math.Inf(1), nil
	}
	r.nodes, r.queue = r.nodes[:0], r.queue[:0]
	n.searches.Put(r)
}

func (r *reached) has(v Node) bool { return !math.IsInf(r.cost[v], 1) }

// reach searches outward from a node.
func (n *Network) reach(from Node, cost func(e *Edge, enter Node) (float64, bool)) *reached {
	return n.reachFrom([]Node{from}, cost)
}

// reachFrom searches outward from several nodes at once.
func (n *Network) reachFrom(roots []Node, cost func(e *Edge, enter Node) (float64, bool)) *reached {
	r := n.newReached()
	n.search(r, roots, nowhere, cost)
	r.queue = nil
	return r
}

// nowhere is the goal of a search that is to find all.
const nowhere Node = -1

// search is reachFrom, in room in which nothing is reached yet, until one node is
// reached for good (Dijkstra).
func (n *Network) search(r *reached, roots []Node, goal Node, cost func(e *Edge, enter Node) (float64, bool)) {
	n.proceed()
	for _, v := range roots {
		if !r.has(v) {
			r.nodes = append(r.nodes, v)
		}
		r.cost[v] = 0
		r.queue = append(r.queue, visit{0, v}) // all of one cost, so already a heap
	}
	for len(r.queue) > 0 {
		top := r.queue.pop()
		if top.node == goal {
			break
		}
		if top.cost > r.cost[top.node] {
			continue
		}
		for _, e := range n.at[top.node] {
			c, ok := cost(e, top.node)
			if !ok {
				continue
			}
			if w := e.Other(top.node); top.cost+c < r.cost[w] {
				if !r.has(w) {
					r.nodes = append(r.nodes, w)
				}
				r.cost[w] = top.cost + c
				r.by[w] = e
				r.queue.push(visit{r.cost[w], w})
			}
		}
	}
}

type visit struct {
	cost float64
	node Node
}

// frontier is a heap of visits by cost, then by node. It does what
// container/heap does, without an interface around each visit.
type frontier []visit

func (f frontier) less(i, j int) bool {
	return f[i].cost < f[j].cost || f[i].cost == f[j].cost && f[i].node < f[j].node
}

func (f *frontier) push(x visit) {
	*f = append(*f, x)
	h := *f
	for j := len(h) - 1; j > 0; {
		parent := (j - 1) / 2
		if !h.less(j, parent) {
			break
		}
		h[parent], h[j] = h[j], h[parent]
		j = parent
	}
}

func (f *frontier) pop() visit {
	h := *f
	last := len(h) - 1
	h[0], h[last] = h[last], h[0]
	for i := 0; ; {
		least := 2*i + 1
		if least >= last {
			break
		}
		if right := least + 1; right < last && h.less(right, least) {
			least = right
		}
		if !h.less(least, i) {
			break
		}
		h[i], h[least] = h[least], h[i]
		i = least
	}
	*f = h[:last]
	return h[last]
}

// SameNetwork reports whether two nodes belong to one galvanic network when
// every switch is closed: whether any path but a converter's isolation joins them.
func (n *Network) SameNetwork(a, b Node) bool { return n.galvanic[a] == n.galvanic[b] }

// MetalJoins reports whether closed metal can join two nodes.
func (n *Network) MetalJoins(a, b Node) bool { return n.metal[a] == n.metal[b] }

// Metal is a cost for Path: plain metal only, every switch and contact closed.
func Metal(e *Edge, _ Node) (float64, bool) { return 1, e.Conducts() }

// Bypass finds the path round an open contact that is hardest to excuse: over
// plain metal if there is one, else through the fewest resistors, diodes,
// meters and inputs. It does not go through sources, loads, coils, controllers
// or converters, which are what the contact is there to cut off. The contact
// itself and those in avoid are left out.
func (n *Network) Bypass(contact string, avoid ...string) []*Edge {
	e := n.byID[contact]
	if e == nil {
		return nil
	}
	senses := func(x *Edge) bool { return x.Kind == MeterEdge || x.Kind == EnableEdge }
	if behind, ok := n.Hanging(e); ok && !slices.ContainsFunc(behind, func(v Node) bool { return slices.ContainsFunc(n.at[v], senses) }) {
		return nil
	}
	out := map[string]bool{contact: true}
	for _, id := range avoid {
		out[id] = true
	}
	return n.Path(e.From, e.To, func(x *Edge, enter Node) (float64, bool) {
		switch {
		case out[x.ID]:
			return 0, false
		case x.Conducts():
			return 1, true
		case x.Kind == ResistorEdge && x.ID == x.Part, x.Kind == MeterEdge, x.Kind == EnableEdge:
			return 1000, true
		case x.Kind == DiodeEdge:
			return 1000, enter == x.From
		}
		return 0, false
	})
}
