package circuit

import (
	"slices"
	"strconv"
)

// Feeding answers through which fuses a source feeds some nodes. It keeps its
// answers, and is not for several goroutines.
type Feeding struct {
	network *Network
	zones   []int // of what closed metal without fuses joins
	known   map[string]fusesFeeding
	trees   map[pole]*dominators
	ways    map[pole][]*fusedWay
	marks   []int // by node, the last walk that came there
	walks   int
	met     map[[2]string]bool // see Meet
}

type fusesFeeding struct {
	fuses []string
	fused bool
}

type pole struct {
	source string
	side   Side
}

// Feeding prepares the answers.
func (n *Network) Feeding() *Feeding {
	f := &Feeding{network: n, known: map[string]fusesFeeding{}, trees: map[pole]*dominators{}, ways: map[pole][]*fusedWay{}, marks: make([]int, n.Nodes()),
		met: map[[2]string]bool{}}
	f.zones, _ = n.joinedZones(func(e *Edge) bool { return !e.Protects() && e.Conducts() })
	return f
}

// Fuses finds the fuses through which a source feeds some nodes, the nearest
// on each way. Where there are several side by side, none alone breaks the
// loop, but together they bound the current. It reports false if a way holds no
// fuse.
func (f *Feeding) Fuses(source Source, side Side, nodes ...Node) (fuses []string, fused bool) {
	// Of the nodes only their zones matter, which are as many as there are fuses and
	// not as there are conductors.
	zones := make([]int, len(nodes))
	for i, v := range nodes {
		zones[i] = f.zones[v]
	}
	slices.Sort(zones)
	key := []byte(source.ID + " " + string(side))
	for _, z := range slices.Compact(zones) {
		key = strconv.AppendInt(append(key, ' '), int64(z), 10)
	}
	known, ok := f.known[string(key)]
	if !ok {
		known.fuses, known.fused = f.find(source, side, nodes)
		f.known[string(key)] = known
	}
	return known.fuses, known.fused
}

func (f *Feeding) find(source Source, side Side, nodes []Node) (fuses []string, fused bool) {
	root := source.Pos
	if side == Negative {
		root = source.Neg
	}
	type stop struct {
		fuse *Edge
		far  Node // its terminal away from the nodes
	}
	var met []stop
	barred := map[*Edge]bool{}
	inside := f.walkBack(nodes, func(e *Edge, enter Node) bool {
		if !e.Protects() {
			return f.flowsTo(source, side, e, enter)
		}
		met = append(met, stop{e, e.Other(enter)})
		barred[e] = true
		return false
	})
	if inside(root) {
		return nil, false
	}
	// Of a fuse that is met from both sides neither is beyond it.
	met = slices.DeleteFunc(met, func(s stop) bool { return inside(s.far) })
	if len(barred) == 1 {
		if len(met) == 1 {
			// What leads to its far side but through the fuse, the tree of all ways knows.
			d := f.tree(source, side, root)
			if s := met[0]; d.has(s.far) && !d.over(s.fuse, s.far) {
				fuses = append(fuses, s.fuse.Part)
			}
		}
		return fuses, true
	}
	reaches := map[int]bool{} // by zone
	ways := f.waysFrom(source, side, root)
	for _, s := range met {
		zone := f.zones[s.far]
		leads, ok := reaches[zone]
		if !ok {
			leads = ways[s.far].avoids(barred) || f.walkBack([]Node{s.far}, func(e *Edge, enter Node) bool {
				if e.Protects() {
					return !barred[e]
				}
				return f.flowsTo(source, side, e, enter)
			})(root)
			reaches[zone] = leads
		}
		if leads {
			fuses = append(fuses, s.fuse.Part)
		}
	}
	slices.Sort(fuses)
	return fuses, true
}

// tree is what lies on every way of a source's fault current to what.
func (f *Feeding) tree(source Source, side Side, root Node) *dominators {
	key := pole{source.ID, side}
	d, ok := f.trees[key]
	if !ok {
		d = f.network.dominators(root, func(e *Edge, enter Node) bool {
			return e.Protects() || f.flowsTo(source, side, e, e.Other(enter))
		})
		f.trees[key] = d
	}
	return d
}

// fusedWay is the last fuse on a way from a source to a node, and the way to that
// fuse; nil for a way without a fuse.
type fusedWay struct {
	fuse   *Edge
	before *fusedWay
}

// noWay stands for a node to which none leads.
var noWay = &fusedWay{}

// avoids reports whether there is a way and none of its fuses is among some. Another
// way may avoid them where this one does not.
func (w *fusedWay) avoids(fuses map[*Edge]bool) bool {
	if w == noWay {
		return false
	}
	for ; w != nil; w = w.before {
		if fuses[w.fuse] {
			return false
		}
	}
	return true
}

// waysFrom is, by node, one way of a source's fault current to it.
func (f *Feeding) waysFrom(source Source, side Side, root Node) []*fusedWay {
	key := pole{source.ID, side}
	ways, ok := f.ways[key]
	if !ok {
		t := f.network.Tree(func(e *Edge, enter Node) bool {
			return e.Protects() || f.flowsTo(source, side, e, e.Other(enter))
		}, root)
		ways = make([]*fusedWay, f.network.Nodes())
		for v := range ways {
			ways[v] = noWay
		}
		ways[root] = nil
		for _, v := range t.order[1:] {
			e := t.by[v]
			ways[v] = ways[e.Other(v)]
			if e.Protects() {
				ways[v] = &fusedWay{e, ways[v]}
			}
		}
		f.ways[key] = ways
	}
	return ways
}

// walkBack walks from nodes towards a source, against the current, and tells of each
// node whether it came there; until the next walk.
func (f *Feeding) walkBack(from []Node, passes Passes) func(Node) bool {
	f.walks++
	this := f.walks
	var list []Node
	mark := func(v Node) {
		if f.marks[v] != this {
			f.marks[v] = this
			list = append(list, v)
		}
	}
	for _, v := range from {
		mark(v)
	}
	for i := 0; i < len(list); i++ {
		for _, e := range f.network.at[list[i]] {
			if passes(e, list[i]) {
				mark(e.Other(list[i]))
			}
		}
	}
	return func(v Node) bool { return f.marks[v] == this }
}

// flowsTo reports whether a source's fault current can flow through an edge to
// a node.
func (f *Feeding) flowsTo(source Source, side Side, e *Edge, v Node) bool {
	switch e.Kind {
	case DiodeEdge:
		return (v == e.To) == (side == Positive)
	case ResistorEdge:
		r := f.network.Spec.Resistors[e.Part]
		return r != nil && source.StringV/r.ResistanceOhm > f.network.Spec.Policy.PrechargeBypassA
	case BatteryEdge:
		return e.Part != source.ID && (v == e.From) == (side == Positive)
	}
	return e.Conducts()
}

// Meet reports whether one fault can be fed by both of two sources: whether there is a
// point on the positive side to which each drives a current.
func (f *Feeding) Meet(a, b Source) bool {
	key := [2]string{min(a.ID, b.ID), max(a.ID, b.ID)}
	joined, ok := f.met[key]
	if !ok {
		joined = f.network.MetalJoins(a.Pos, b.Pos)
		first, second := f.fedBy(a), f.fedBy(b)
		for v := 0; v < len(first) && !joined; v++ {
			joined = first[v] && second[v]
		}
		f.met[key] = joined
	}
	return joined
}

// fedBy is what a source drives a fault current to.
func (f *Feeding) fedBy(source Source) Nodes {
	return f.network.Reach(func(e *Edge, enter Node) bool {
		return f.flowsTo(source, Positive, e, e.Other(enter))
	}, source.Pos)
}
