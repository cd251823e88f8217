package circuit

import (
	"math"
	"slices"
)

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

// Bounds tells how much can flow through contacts, when every part passes no more
// than its limit. What many contacts have in common is found once.
type Bounds struct {
	network *Network
	limits  [][2]float64 // by edge, into it from From and from To; 0 for what passes nothing
	zones   []int        // by node, of what metal joins with all contacts open
	at      [][]*Edge    // by zone, the contacts and limited parts that lead out of it
	closed  *flow        // with all contacts closed; see withAll
	without flow         // without one of them, each in turn
	side    []bool       // by node, room for zonesWithout; all false
	between map[[2]int]float64
	fine    bool // a limit is as small as rounding
}

// Bounds prepares the limits in A of parts into the direction of current that
// begins at a node. Closed metal has none but the fuses.
func (n *Network) Bounds(limit func(e *Edge, from Node) float64) *Bounds {
	b := &Bounds{network: n, limits: make([][2]float64, len(n.Edges)), between: map[[2]int]float64{}}
	var count int
	b.zones, count = n.joinedZones(func(e *Edge) bool { return e.isPlainMetal() && !e.isContact() })
	b.at = make([][]*Edge, count)
	for i, e := range n.Edges {
		if e.isContact() {
			b.limits[i] = [2]float64{math.Inf(1), math.Inf(1)}
		} else if !e.isPlainMetal() {
			b.limits[i] = [2]float64{limit(e, e.From), limit(e, e.To)}
		} else {
			continue
		}
		b.fine = b.fine || isFine(b.limits[i][0]) || isFine(b.limits[i][1])
		if x, y := b.zones[e.From], b.zones[e.To]; x != y && max(b.limits[i][0], b.limits[i][1]) > 0 {
			b.at[x], b.at[y] = append(b.at[x], e), append(b.at[y], e)
		}
	}
	return b
}

// isFine reports whether a limit in A drowns in the rounding of a flow.
func isFine(a float64) bool { return a > 0 && a < 1e-6 }

// isContact reports whether an edge opens by hand or by a coil and not by itself.
func (e *Edge) isContact() bool {
	return (e.Kind == SwitchEdge || e.Kind == ContactEdge) && !e.Protects()
}

// from is the limit of an edge into the direction of current that begins at a node.
func (b *Bounds) from(e *Edge, v Node) float64 {
	if v == e.From {
		return b.limits[e.index][0]
	}
	return b.limits[e.index][1]
}

// Through returns the most that can flow through a contact, either way: the least
// sum of limits that cuts every loop through the contact and a source (the theorem
// of Ford and Fulkerson on maximum flow and minimum cut). All contacts count as
// closed.
func (b *Bounds) Through(contact *Edge) Most {
	there, ok := b.alongRow(contact, contact.From)
	back, ok2 := b.alongRow(contact, contact.To)
	if !ok || !ok2 {
		f := &b.without
		f.build(b.network, contact, b.zonesWithout(contact), b.from)
		from, to := f.zones[contact.From], f.zones[contact.To]
		if !ok {
			there = f.most(to, from)
		}
		if !ok2 {
			back = f.most(from, to)
		}
		there.Beside = from == to
	}
	if back.A > there.A {
		back.Beside = there.Beside
		there = back
	}
	return there
}

// alongRow is the most that flows through a contact into the direction that begins
// at a node, where the row in which it stands bounds it, and not what the row
// hangs on; else false.
//
// A row is the contact and what leads on from it on either side, as long as
// nothing else does. All that flows through the contact flows through the whole
// row. The rest of the network, without the row, lets the flow F' pass between its
// ends. F is what the whole network lets pass between them with all contacts
// closed. A flow of F that is parted into ways that meet no node twice uses the row
// in the other direction only, once before and once behind a source; so F' is no
// less than F less twice what the row passes in that direction. If the least limit
// of the row is below that, the flow is this limit, and the first edge with it in
// the direction of the current is the first cut that bounds the flow.
//
// In a row with a limit, no metal leads round the contact.
func (b *Bounds) alongRow(contact *Edge, from Node) (Most, bool) {
	if b.fine || b.zones[contact.From] == b.zones[contact.To] {
		return Most{}, false
	}
	after, end, ok := b.row(contact, contact.Other(from))
	before, start, ok2 := b.row(contact, from)
	if !ok || !ok2 {
		return Most{}, false
	}
	if end == nowhere || start == nowhere {
		return Most{}, true
	}
	// In the order of the current: what follows the contact, then what precedes it.
	row := slices.Clone(after)
	for _, s := range slices.Backward(before) {
		row = append(row, step{s.edge, s.edge.Other(s.enter)})
	}
	least, against := math.Inf(1), math.Inf(1)
	for _, s := range row {
		least = min(least, b.from(s.edge, s.enter))
		against = min(against, b.from(s.edge, s.edge.Other(s.enter)))
	}
	const margin = 1e-6
	switch {
	case math.IsInf(least, 1):
		return Most{}, false
	case least <= 0:
		return Most{}, true
	case math.IsInf(against, 1) || least*(1+margin)+margin >= b.flowBetween(end, start)-2*max(0, against):
		return Most{}, false
	}
	first := row[slices.IndexFunc(row, func(s step) bool { return b.from(s.edge, s.enter)-least <= leastRoom })]
	return Most{A: b.from(first.edge, first.enter), By: []*Edge{first.edge}}, true
}

// step is an edge of a row, and the node at which it is entered.
type step struct {
	edge  *Edge
	enter Node
}

// leastRoom is the room for a flow in A below which there is none but rounding.
const leastRoom = 1e-9

// row follows what leads on from one side of a contact as far as nothing else
// does, and no source; end is a node where it comes to an end, nowhere if nothing
// leads on from there. It is not ok if the row comes back to the contact.
func (b *Bounds) row(contact *Edge, from Node) (steps []step, end Node, ok bool) {
	came, at := contact, from
	for {
		zone := b.at[b.zones[at]]
		if len(zone) == 1 {
			return nil, nowhere, true
		}
		if len(zone) > 2 {
			return steps, at, true
		}
		next := zone[0]
		if next == came {
			next = zone[1]
		}
		if next == came || next == contact {
			return nil, nowhere, false
		}
		if next.isSource() {
			return steps, at, true
		}
		enter := next.From
		if b.zones[enter] != b.zones[at] {
			enter = next.To
		}
		steps = append(steps, step{next, enter})
		came, at = next, next.Other(enter)
	}
}

// flowBetween is the greatest flow from one node over a source to another with all
// contacts closed.
func (b *Bounds) flowBetween(from, to Node) float64 {
	closed := b.withAll()
	pair := [2]int{closed.zones[from], closed.zones[to]}
	a, ok := b.between[pair]
	if !ok {
		a = closed.most(pair[0], pair[1]).A
		b.between[pair] = a
	}
	return a
}

// withAll is the network with all contacts closed.
func (b *Bounds) withAll() *flow {
	if b.closed == nil {
		b.closed = newFlow(b.network, nil, b.from)
	}
	return b.closed
}

// zonesWithout numbers the zones of the network without a contact, in the order of
// the nodes. They are those with all contacts closed, but for the one in which the
// contact lies: it falls apart where no other metal joins its two sides.
func (b *Bounds) zonesWithout(contact *Edge) (zones []int) {
	zones = append(b.without.zones[:0], b.withAll().zones...)
	if b.side == nil {
		b.side = make([]bool, len(zones))
	}
	list := []Node{contact.To}
	b.side[contact.To] = true
	for i := 0; i < len(list); i++ {
		for _, e := range b.network.at[list[i]] {
			if w := e.Other(list[i]); e != contact && !b.side[w] && e.isPlainMetal() {
				b.side[w] = true
				list = append(list, w)
			}
		}
	}
	if !b.side[contact.From] {
		b.divide(zones, zones[contact.To])
	}
	for _, v := range list {
		b.side[v] = false
	}
	return zones
}

// divide makes two of a zone, the nodes of one side and the others. The zones are
// numbered by their first nodes: the part whose first node comes later takes the
// number that is next there, and those after it move up.
func (b *Bounds) divide(zones []int, whole int) {
	first := slices.Index(zones, whole)
	next, found := 0, false // the number of the later part, once its first node was found
	for v, z := range zones {
		switch {
		case z == whole && b.side[v] != b.side[first]:
			found = true
			zones[v] = next
		case found && z >= next:
			zones[v]++
		case !found:
			next = max(next, z+1)
		}
	}
}

// flow is a network for maximum flow: its vertices are the zones that closed
// metal without fuses joins, twice over, before and behind a source.
type flow struct {
	zones []int // by node
	arcs  []arc
	at    [][]int // arcs by vertex
	twice int     // the vertex that no way may meet, since it has met its zone before; see back

	by, queue []int // room for search
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
	zones, _ := n.joinedZones(func(e *Edge) bool { return e != contact && e.isPlainMetal() })
	f.build(n, contact, zones, limit)
	return f
}

// build makes the network of everything but a contact, between zones by node, in the
// room of the one before.
func (f *flow) build(n *Network, contact *Edge, zones []int, limit func(*Edge, Node) float64) {
	f.zones = zones
	vertices := 2 * (slices.Max(zones) + 1)
	f.at = slices.Grow(f.at[:0], vertices)[:vertices]
	for v := range f.at {
		f.at[v] = f.at[v][:0]
	}
	f.arcs = f.arcs[:0]
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
}

func (e *Edge) isPlainMetal() bool { return e.Conducts() && !e.Protects() }

func (e *Edge) isSource() bool {
	return e.Kind == BatteryEdge || e.Kind == ConverterOutput || e.Kind == ChargerEdge
}

// joinedZones numbers the parts of the network that some edges join, by node, in
// the order of the nodes.
func (n *Network) joinedZones(joins func(*Edge) bool) (zones []int, count int) {
	zones = make([]int, n.Nodes())
	for i := range zones {
		zones[i] = -1
	}
	var list []Node
	for v := range zones {
		if zones[v] >= 0 {
			continue
		}
		zones[v] = count
		list = append(list[:0], Node(v))
		for i := 0; i < len(list); i++ {
			for _, e := range n.at[list[i]] {
				if w := e.Other(list[i]); zones[w] < 0 && joins(e) {
					zones[w] = count
					list = append(list, w)
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
	f.twice = f.back(start)
	for {
		by := f.search(start, end)
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

// back is the zone of the pole at which every way from a vertex enters its first
// source, behind the source; none if that may be one of several. A way that came
// there again would be two: one from this pole over the source and back to it, which
// does not lead over the contact, and another without a source.
func (f *flow) back(start int) int {
	f.twice = none
	pole := none
	for v, by := range f.search(start, none) {
		if by == unreached || v%2 == 1 {
			continue
		}
		for _, i := range f.at[v] {
			if a := f.arcs[i]; a.edge == nil || a.to%2 == 0 || a.capacity <= 0 {
				continue
			}
			if pole != none && pole != v+1 {
				return none
			}
			pole = v + 1
		}
	}
	return pole
}

// How search reached a vertex, if not over an arc; and no vertex.
const (
	unreached = -1
	root      = -2
	none      = -1
)

// search walks over arcs with room and returns by which arc each vertex was
// reached, -1 for those that were not. It ends where it reaches the goal, if there
// is one, and what it returns holds until the next. Without a goal it keeps to what
// lies before a source: from behind one nothing leads back.
func (f *flow) search(start, goal int) []int {
	f.by = slices.Grow(f.by[:0], len(f.at))[:len(f.at)]
	by := f.by
	for i := range by {
		by[i] = unreached
	}
	by[start] = root
	f.queue = append(f.queue[:0], start)
	for k := 0; k < len(f.queue); k++ {
		for _, i := range f.at[f.queue[k]] {
			a := &f.arcs[i]
			if by[a.to] != unreached || a.to == f.twice || goal == none && a.to%2 == 1 || a.capacity-a.used <= leastRoom {
				continue
			}
			by[a.to] = i
			if a.to == goal {
				return by
			}
			f.queue = append(f.queue, a.to)
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
		if by[v] == unreached {
			continue
		}
		for _, i := range f.at[v] {
			a := f.arcs[i]
			if a.edge == nil || by[a.to] != unreached || a.to == f.twice {
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
