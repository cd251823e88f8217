package circuit

import "slices"

// StringLink is the run of conductors by which one battery of a string is joined to the
// next, in one piece or over studs and bars.
type StringLink struct {
	Conductors []string // by id
	Run
}

// StringLink is the shortest link of a string that a conductor belongs to: a run over
// conductors alone from the negative terminal of one battery to the positive one of
// another. It reports false for one that belongs to none, such as a tap of the link.
func (n *Network) StringLink(e *Edge) (StringLink, bool) {
	l, ok := n.links()[e]
	return l, ok
}

// IsStringLink reports whether a conductor is one, or a part of one.
func (n *Network) IsStringLink(e *Edge) bool {
	_, ok := n.links()[e]
	return ok
}

func (n *Network) findStringLinks() map[*Edge]StringLink {
	zones, _ := n.joinedZones((*Edge).IsConductor)
	low, high := map[int][]Node{}, map[int][]Node{} // by zone, negative and positive terminals
	for _, e := range n.Edges {
		if e.Kind == BatteryEdge && zones[e.From] != zones[e.To] {
			low[zones[e.To]] = append(low[zones[e.To]], e.To)
			high[zones[e.From]] = append(high[zones[e.From]], e.From)
		}
	}
	var lows, highs []Node
	for zone := range low {
		if len(high[zone]) > 0 {
			lows, highs = append(lows, low[zone]...), append(highs, high[zone]...)
		}
	}
	if lows == nil {
		return nil
	}
	slices.Sort(lows)
	slices.Sort(highs)
	loose := n.looseEnds(slices.Concat(lows, highs))
	along := func(e *Edge, _ Node) (float64, bool) { return n.conductorM(e), e.IsConductor() && !loose[e] }
	below, above := n.reachFrom(lows, along), n.reachFrom(highs, along)
	links := map[*Edge]StringLink{}
	for _, e := range n.Edges {
		if !e.IsConductor() || e.From == e.To || loose[e] || !below.has(e.From) || !above.has(e.From) {
			continue
		}
		from, to := e.From, e.To
		if below.cost[from]+above.cost[to] > below.cost[to]+above.cost[from] {
			from, to = to, from
		}
		links[e] = n.linkOf(slices.Concat(below.way(from), []*Edge{e}, above.way(to)))
	}
	return links
}

// way lists the edges by which a node is reached, from there back.
func (r *reached) way(v Node) (edges []*Edge) {
	for e := r.by[v]; e != nil; e = r.by[v] {
		edges, v = append(edges, e), e.Other(v)
	}
	return edges
}

func (n *Network) linkOf(way []*Edge) (l StringLink) {
	for _, e := range way {
		own := Run{M: n.conductorM(e)}
		if !n.Covered(e.ID) {
			own.BareM = own.M
		}
		l.Conductors, l.Run = append(l.Conductors, e.ID), l.And(own)
	}
	slices.Sort(l.Conductors)
	return l
}

// looseEnds lists the conductors that lead from some nodes, over conductors alone, to none
// of them.
func (n *Network) looseEnds(terminals []Node) map[*Edge]bool {
	degree, loose := map[Node]int{}, map[*Edge]bool{}
	conductors := func(v Node) []*Edge {
		return slices.DeleteFunc(slices.Clone(n.at[v]), func(e *Edge) bool { return !e.IsConductor() || e.From == e.To || loose[e] })
	}
	zone := n.Reach(func(e *Edge, _ Node) bool { return e.IsConductor() }, terminals...)
	var ends []Node
	for v := range Node(n.Nodes()) {
		if !zone[v] || slices.Contains(terminals, v) {
			continue
		}
		if degree[v] = len(conductors(v)); degree[v] == 1 {
			ends = append(ends, v)
		}
	}
	for i := 0; i < len(ends); i++ {
		for _, e := range conductors(ends[i]) {
			loose[e] = true
			next := e.Other(ends[i])
			if degree[next]--; degree[next] == 1 {
				ends = append(ends, next)
			}
		}
	}
	return loose
}
