package circuit

import "math"

// Most is the greatest current that can flow through a contact.
type Most struct {
	A float64 // +Inf if nothing bounds it
	// By lists what bounds it: A is the sum of their limits. If nothing does, it
	// is a way round that no limit lies on.
	By []*Edge
	// Beside reports that other contacts lie beside this one, so that it may carry
	// less than A.
	Beside bool
}

// MostThrough returns the most that can flow through a contact, either way, when
// every part passes no more than its limit in A into the direction of current
// that begins at a node: the least sum of limits that cuts every loop through
// the contact and a source (the theorem of Ford and Fulkerson on maximum flow
// and minimum cut). Closed metal has no limit but the fuses; all contacts count
// as closed.
func (n *Network) MostThrough(contact *Edge, limit func(e *Edge, from Node) float64) Most {
	f := newFlow(n, contact, limit)
	there := f.most(f.zones[contact.To], f.zones[contact.From])
	back := f.most(f.zones[contact.From], f.zones[contact.To])
	if back.A > there.A {
		there = back
	}
	there.Beside = f.zones[contact.From] == f.zones[contact.To]
	return there
}

// flow is a network for maximum flow: its vertices are the zones that closed
// metal without fuses joins, twice over, before and behind a source.
type flow struct {
	zones []int // by node
	arcs  []arc
	at    [][]int // arcs by vertex
}

// arc is one direction of an edge, with the arc of the other direction beside it.
type arc struct {
	edge     *Edge // nil against the direction of an edge
	to       int
	capacity float64
	used     float64
}

func newFlow(n *Network, contact *Edge, limit func(*Edge, Node) float64) *flow {
	f := &flow{}
	var zones int
	f.zones, zones = n.metalZones(contact)
	f.at = make([][]int, 2*zones)
	for _, e := range n.Edges {
		if e == contact || e.isPlainMetal() {
			continue
		}
		for _, from := range []Node{e.From, e.To} {
			a, b := f.zones[from], f.zones[e.Other(from)]
			capacity := limit(e, from)
			if capacity <= 0 || a == b {
				continue
			}
			passed := 0
			if e.isSource() {
				passed = 1
			}
			f.add(e, 2*a, 2*b+passed, capacity)
			f.add(e, 2*a+1, 2*b+1, capacity)
		}
	}
	return f
}

func (e *Edge) isPlainMetal() bool { return e.Conducts() && e.Kind != FuseEdge }

func (e *Edge) isSource() bool {
	return e.Kind == BatteryEdge || e.Kind == ConverterOutput || e.Kind == ChargerEdge
}

// metalZones numbers the parts of the network that closed metal joins, by node;
// fuses and one contact are left out.
func (n *Network) metalZones(without *Edge) (zones []int, count int) {
	zones = make([]int, n.Nodes())
	for i := range zones {
		zones[i] = -1
	}
	for v := range zones {
		if zones[v] >= 0 {
			continue
		}
		zones[v] = count
		for queue := []Node{Node(v)}; len(queue) > 0; queue = queue[1:] {
			for _, e := range n.at[queue[0]] {
				if w := e.Other(queue[0]); e != without && e.isPlainMetal() && zones[w] < 0 {
					zones[w] = count
					queue = append(queue, w)
				}
			}
		}
		count++
	}
	return zones, count
}

func (f *flow) add(e *Edge, from, to int, capacity float64) {
	f.at[from] = append(f.at[from], len(f.arcs))
	f.at[to] = append(f.at[to], len(f.arcs)+1)
	f.arcs = append(f.arcs, arc{e, to, capacity, 0}, arc{nil, from, 0, 0})
}

// most is the maximum flow from one zone over a source to another, by shortest
// ways as long as there are any.
func (f *flow) most(from, to int) Most {
	for i := range f.arcs {
		f.arcs[i].used = 0
	}
	start, end := 2*from, 2*to+1
	for {
		by := f.search(start)
		if by[end] < 0 {
			return f.cut(by)
		}
		room := math.Inf(1)
		var way []*Edge
		for v := end; v != start; v = f.arcs[by[v]^1].to {
			a := f.arcs[by[v]]
			room = min(room, a.capacity-a.used)
			if a.edge != nil {
				way = append(way, a.edge)
			}
		}
		if math.IsInf(room, 1) {
			return Most{A: room, By: way}
		}
		for v := end; v != start; v = f.arcs[by[v]^1].to {
			f.arcs[by[v]].used += room
			f.arcs[by[v]^1].used -= room
		}
	}
}

// search walks over arcs with room and returns by which arc each vertex was
// reached, -1 for those that were not.
func (f *flow) search(start int) []int {
	const unreached, root = -1, -2
	by := make([]int, len(f.at))
	for i := range by {
		by[i] = unreached
	}
	by[start] = root
	for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
		for _, i := range f.at[queue[0]] {
			const least = 1e-9 // A: less is rounding
			if a := f.arcs[i]; by[a.to] == unreached && a.capacity-a.used > least {
				by[a.to] = i
				queue = append(queue, a.to)
			}
		}
	}
	return by
}

// cut lists the edges that lead from what was reached to what was not. One that
// is met before and behind the source counts once: it passes no more for that.
func (f *flow) cut(by []int) Most {
	var m Most
	most := map[*Edge]float64{}
	for v := range f.at {
		if by[v] == -1 {
			continue
		}
		for _, i := range f.at[v] {
			a := f.arcs[i]
			if a.edge == nil || by[a.to] != -1 {
				continue
			}
			if _, known := most[a.edge]; !known {
				m.By = append(m.By, a.edge)
			}
			most[a.edge] = max(most[a.edge], a.capacity)
		}
	}
	for _, e := range m.By {
		m.A += most[e]
	}
	return m
}
