package circuit

import (
	"cmp"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// SenseLead is what measures at one pole of a shunt: conductors that lead to
// measuring inputs alone, up to the first fuse on each way.
type SenseLead struct {
	Shunt string
	Pole  string // the terminal "s1.sense_a" or "s1.sense_b"
	// Conductors lists those without a fuse before them, the one at the shunt
	// first.
	Conductors []string
	// UnfusedM is the length of conductor, in m, from the shunt to the fuse, or
	// where there is none to the meter, on the way on which it is longest.
	UnfusedM float64
	Fuses    []string // the fuses that end it, in the order of their ids
	Bare     []string // the meters that it reaches through no fuse, likewise
}

// SenseLeads lists the sense leads of the shunts, pole by pole. What hangs on a
// pole but does more than measure is not among them.
func (n *Network) SenseLeads() []SenseLead {
	at := map[Node][]*schema.Conductor{}
	for _, c := range n.Spec.Conductors() {
		for _, end := range []string{c.From, c.To} {
			if v, ok := n.Node(end); ok {
				at[v] = append(at[v], c)
			}
		}
	}
	var out []SenseLead
	for id := range schema.Sorted(n.Spec.Shunts) {
		for _, pole := range []string{"a", "b"} {
			lead := SenseLead{Shunt: id, Pole: id + ".sense_" + pole}
			v, _ := n.Node(lead.Pole)
			for _, c := range at[v] {
				if e := n.byID[c.ID]; e != nil && e.From != e.To && n.onlyMeasures(e, v, c.From == lead.Pole || c.To == lead.Pole) {
					n.follow(&lead, e, v)
				}
			}
			if len(lead.Conductors) > 0 {
				slices.Sort(lead.Fuses)
				slices.Sort(lead.Bare)
				lead.Fuses, lead.Bare = slices.Compact(lead.Fuses), slices.Compact(lead.Bare)
				out = append(out, lead)
			}
		}
	}
	return out
}

// onlyMeasures reports whether a conductor at a pole of a shunt leads to
// measuring inputs, over conductors and fuses, and to nothing else. One that
// starts at the shunt's own sense terminal may feed the meter's supply as well.
func (n *Network) onlyMeasures(first *Edge, pole Node, atSense bool) bool {
	measures := false
	seen := map[Node]bool{pole: true}
	queue := []Node{first.Other(pole)}
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		if seen[v] {
			continue
		}
		seen[v] = true
		for _, e := range n.at[v] {
			switch {
			case e.IsConductor() && e != first && e.Other(v) == pole:
				return false // a ring, or a second way back
			case e.IsConductor(), e.Protects():
				queue = append(queue, e.Other(v))
			case e.Kind == MeterEdge && strings.HasSuffix(e.ID, ".sense"):
				measures = true
			case e.Kind == MeterEdge && atSense:
			default:
				return false
			}
		}
	}
	return measures
}

// follow adds a branch of a lead, from the pole to the fuses and meters.
func (n *Network) follow(lead *SenseLead, first *Edge, pole Node) {
	r := n.reachFrom([]Node{pole}, func(e *Edge, enter Node) (float64, bool) {
		return n.conductorM(e), e.IsConductor() && (enter != pole || e == first)
	})
	var nodes []Node
	for v := range n.names {
		if v := Node(v); r.has(v) && v != pole {
			nodes = append(nodes, v)
		}
	}
	slices.SortFunc(nodes, func(a, b Node) int { return cmp.Or(cmp.Compare(r.cost[a], r.cost[b]), cmp.Compare(a, b)) })
	for _, v := range nodes {
		lead.Conductors = append(lead.Conductors, r.by[v].ID)
		for _, e := range n.at[v] {
			switch {
			case e.Protects():
				lead.Fuses = append(lead.Fuses, e.Part)
			case e.Kind == MeterEdge:
				lead.Bare = append(lead.Bare, e.Part)
			default:
				continue
			}
			lead.UnfusedM = max(lead.UnfusedM, r.cost[v])
		}
	}
}

// conductorM is the length of a wire or bus bar, in m.
func (n *Network) conductorM(e *Edge) float64 {
	if w, ok := n.Spec.Wires[e.ID]; ok {
		return w.LengthM
	}
	if b, ok := n.Spec.Busbars[e.ID]; ok {
		return b.LengthMM / 1000
	}
	return 0
}
