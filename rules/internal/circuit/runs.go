package circuit

// Around lists the nodes that a search from one finds, itself first, in the order in
// which it finds them. It is for what lies near by.
func (n *Network) Around(v Node, passes Passes) []Node {
	nodes, found := []Node{v}, map[Node]bool{v: true}
	for i := 0; i < len(nodes); i++ {
		for _, e := range n.at[nodes[i]] {
			if w := e.Other(nodes[i]); !found[w] && passes(e, nodes[i]) {
				nodes, found[w] = append(nodes, w), true
			}
		}
	}
	return nodes
}

// NextTo lists a node, and those that one conductor joins to it.
func (n *Network) NextTo(v Node) []Node {
	nodes := []Node{v}
	for _, e := range n.at[v] {
		if e.IsConductor() {
			nodes = append(nodes, e.Other(v))
		}
	}
	return nodes
}

// Parallel lists the other edges with the same two ends as one.
func (n *Network) Parallel(e *Edge) []*Edge {
	var out []*Edge
	for _, x := range n.at[e.From] {
		if x != e && e.From != e.To && x.Other(e.From) == e.To {
			out = append(out, x)
		}
	}
	return out
}

// EndOfRun follows a run without branches, away from an edge at one of its ends, to
// the edge that ends it, or is no metal; nil where it branches or leads nowhere.
// Meters do not count.
func (n *Network) EndOfRun(from *Edge, at Node, ends func(*Edge) bool) *Edge {
	came := from
	for range n.Nodes() {
		var next *Edge
		for _, e := range n.at[at] {
			switch {
			case e == came || e.Kind == MeterEdge:
			case next != nil:
				return nil
			default:
				next = e
			}
		}
		if next == nil || ends(next) || !next.Conducts() {
			return next
		}
		at, came = next.Other(at), next
	}
	return nil
}

// Run is a length of conductor in m, and how much of it lies bare.
type Run struct{ M, BareM float64 }

// And adds another run.
func (r Run) And(other Run) Run { return Run{r.M + other.M, r.BareM + other.BareM} }

// ShortestRun is the shortest run from a node to the nearest where it ends; way is
// what an edge adds to it and whether it leads on from a node. It is not ok if it
// ends nowhere.
func (n *Network) ShortestRun(from Node, way func(e *Edge, at Node) (r Run, ok bool), ends func(Node, Run) bool) (r Run, ok bool) {
	type visit struct {
		node Node
		Run
	}
	done := map[Node]bool{}
	queue := []visit{{node: from}}
	for len(queue) > 0 {
		next := 0
		for i, v := range queue {
			if v.M < queue[next].M {
				next = i
			}
		}
		v := queue[next]
		queue = append(queue[:next], queue[next+1:]...)
		if done[v.node] {
			continue
		}
		done[v.node] = true
		if ends(v.node, v.Run) {
			return v.Run, true
		}
		for _, e := range n.at[v.node] {
			if more, ok := way(e, v.node); ok {
				queue = append(queue, visit{e.Other(v.node), v.And(more)})
			}
		}
	}
	return Run{}, false
}
