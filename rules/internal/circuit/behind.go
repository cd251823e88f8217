package circuit

import (
	"cmp"
	"slices"
)

// Behind lists the consumers that some contacts feed in a solved state: those
// that closed metal, diodes and dropper resistors no longer join to both poles
// of a source once the contacts open. A consumer with a second feed is not
// among them.
func (n *Network) Behind(state *Solution, contacts ...*Edge) []*Edge {
	f := n.fed.get(state, func() fed { return n.findFed(state) })
	before := Poles{f.pos.reached, f.neg.reached}
	lostPos, lostNeg := f.pos.lost(n, contacts), f.neg.lost(n, contacts)
	after := func(e *Edge) bool {
		pos := func(v Node) bool { return before.Pos[v] && !lostPos[v] }
		neg := func(v Node) bool { return before.Neg[v] && !lostNeg[v] }
		return pos(e.From) && neg(e.To) || pos(e.To) && neg(e.From)
	}
	var out []*Edge
	for _, lost := range []map[Node]bool{lostPos, lostNeg} {
		for v := range lost {
			for _, e := range n.at[v] {
				if e.IsConsumer() && before.Span(e) && !after(e) {
					out = append(out, e)
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b *Edge) int { return cmp.Compare(a.index, b.index) })
	return slices.Compact(out)
}

// fed is how the nodes of a state are joined to a positive and to a negative pole.
type fed struct{ pos, neg spread }

// spread is a search from all poles of one sign, ready to tell what it would not
// find without some edges.
type spread struct {
	*Tree
	passes   Passes
	children [][]Node // those found from each node
}

func (n *Network) findFed(state *Solution) fed {
	var pos, neg []Node
	for _, s := range n.Sources() {
		if state.Supplies(s) {
			pos, neg = append(pos, s.Pos), append(neg, s.Neg)
		}
	}
	from := func(outward bool, roots []Node) spread {
		metal := state.Feeding(outward)
		s := spread{passes: func(e *Edge, enter Node) bool { return metal(e, enter) || n.IsSeriesResistor(e) }}
		s.Tree = n.Tree(s.passes, roots...)
		s.children = make([][]Node, n.Nodes())
		for _, v := range s.order {
			if e := s.by[v]; e != nil {
				s.children[e.Other(v)] = append(s.children[e.Other(v)], v)
			}
		}
		return s
	}
	return fed{from(true, pos), from(false, neg)}
}

// lost is what the search would not find with some edges left out: of what it
// found through them, what no other edge leads to.
func (s spread) lost(n *Network, open []*Edge) map[Node]bool {
	lost := map[Node]bool{}
	var below []Node
	for _, e := range open {
		for _, v := range []Node{e.From, e.To} {
			if s.by[v] == e && !lost[v] {
				lost[v] = true
				below = append(below, v)
			}
		}
	}
	for i := 0; i < len(below); i++ {
		for _, v := range s.children[below[i]] {
			if !lost[v] {
				lost[v] = true
				below = append(below, v)
			}
		}
	}
	var again []Node
	regain := func(v Node) {
		for _, e := range n.at[v] {
			if w := e.Other(v); s.reached[w] && !lost[w] && !slices.Contains(open, e) && s.passes(e, w) {
				delete(lost, v)
				again = append(again, v)
				return
			}
		}
	}
	for _, v := range below {
		regain(v)
	}
	for i := 0; i < len(again); i++ {
		for _, e := range n.at[again[i]] {
			if w := e.Other(again[i]); lost[w] && !slices.Contains(open, e) && s.passes(e, again[i]) {
				delete(lost, w)
				again = append(again, w)
			}
		}
	}
	return lost
}

// Supplies reports whether a source is there in the state: a battery, a converter
// that runs, a charger that is connected.
func (s *Solution) Supplies(source Source) bool {
	switch source.Role {
	case "converter":
		return slices.Contains(s.ConvertersOn, source.ID)
	case "charger":
		m := s.network.Mode(s.Case.Mode)
		return m != nil && slices.Contains(m.Connected, source.ID)
	}
	return true
}

// SourcesSwitched lists the sources whose circuit some contacts switch.
func (n *Network) SourcesSwitched(contacts ...*Edge) []Source {
	var out []Source
	for _, s := range n.Sources() {
		if slices.ContainsFunc(contacts, func(e *Edge) bool { return n.switches(e, s) }) {
			out = append(out, s)
		}
	}
	return out
}

// switches reports whether a contact switches the circuit of a source: whether it
// is joined to the positive pole over metal or a resistor, or lies in the
// return of a part that is.
func (n *Network) switches(contact *Edge, s Source) bool {
	// What metal, everything closed, and the resistors in series with consumers join.
	joins := func(e *Edge, _ Node) bool { return e.Conducts() || n.IsSeriesResistor(e) }
	all := func(v Node) Nodes { return n.switched.get(v, func() Nodes { return n.Reach(joins, v) }) }
	// Whatever leads to the contact leads to one of its ends without it.
	if own := all(s.Pos); own[contact.From] || own[contact.To] {
		return true
	}
	// Its return is that of the string in which it stands.
	list := n.StringOf(s)
	if back := all(list[0].Neg); !back[contact.From] && !back[contact.To] {
		return false
	}
	joined := Without(joins, contact)
	pos, neg := n.Reach(joined, list[len(list)-1].Pos), n.Reach(joined, list[0].Neg)
	for _, near := range []Node{contact.From, contact.To} {
		if !neg[near] {
			continue
		}
		far := n.Reach(joined, contact.Other(near))
		for _, x := range n.Edges {
			if x.isPower() && (far[x.To] && pos[x.From] || far[x.From] && pos[x.To]) {
				return true
			}
		}
	}
	return false
}

// IsSeriesResistor reports whether an edge is a resistor that consumers are fed
// through.
func (n *Network) IsSeriesResistor(e *Edge) bool {
	if e.Kind != ResistorEdge {
		return false
	}
	r, ok := n.Spec.Resistors[e.Part]
	return ok && (r.Role == "precharge" || r.Role == "dropper")
}

// IsConsumer reports whether an edge is something that a contact is there to
// feed and to cut off, logic inputs and meters included.
func (e *Edge) IsConsumer() bool {
	return e.isPower() || e.Kind == EnableEdge || e.Kind == MeterEdge
}

func (e *Edge) isPower() bool {
	switch e.Kind {
	case LoadEdge, ControllerEdge, ConverterInput, CoilEdge:
		return true
	}
	return false
}
