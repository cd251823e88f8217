package fuse

import (
	"cmp"
	"slices"

	"example.org/headroom/rules/internal/circuit"
)

// loop is one way in which a short circuit through a conductor closes.
type loop struct {
	*circuit.Guard
	back  []circuit.Node // where it is connected to the other side; the nearest counts
	fuses *fuseList      // each of which alone breaks it
}

// fuseList is a list of fuses, the smallest rating first. There is one for all loops
// that the same fuses break.
type fuseList struct{ ids []string }

// listOf is the list of some fuses in the order of their ratings.
func (s *supply) listOf(ids []string) *fuseList {
	key := s.key[:0]
	for _, id := range ids {
		key = append(append(key, id...), ' ')
	}
	s.key = key
	list, ok := s.lists[string(key)]
	if !ok {
		list = &fuseList{slices.Clone(ids)}
		s.lists[string(key)] = list
	}
	return list
}

// loops lists the ways in which a source's short circuit through a conductor
// closes. On the feeding side of the source they share their fuses. On the
// returning side each part beyond has a feed of its own, with fuses of its own;
// feeds with the same fuses make one loop. Of several returns of a loop the
// nearest closes it: the others are behind conductors that are checked
// themselves.
func (s *supply) loops(g *circuit.Guard) []loop {
	out, ok := s.returns[g]
	if !ok {
		out = s.findLoops(g)
		s.returns[g] = out
	}
	return out
}

func (s *supply) findLoops(g *circuit.Guard) []loop {
	if g.Side == circuit.Positive || len(g.Returns) == 0 {
		back := g.Returns
		if len(back) == 0 {
			back = []circuit.Node{g.Source.Neg}
			if g.Side == circuit.Negative {
				back[0] = g.Source.Pos
			}
		}
		return []loop{{Guard: g, back: back, fuses: s.listOf(g.Fuses)}}
	}
	out := make([]loop, 0, len(g.Returns))
	alike := map[*fuseList]int{}
	var fuses []string
	for i, r := range g.Returns {
		fuses = append(fuses[:0], g.Fuses...)
		for _, id := range s.feedFuses(g.Source.ID, r) {
			if !slices.Contains(fuses, id) {
				fuses = append(fuses, id)
			}
		}
		list := s.listOf(s.bySize(fuses))
		if at, ok := alike[list]; ok {
			out[at].back = append(out[at].back, r)
			continue
		}
		alike[list] = len(out)
		out = append(out, loop{Guard: g, back: g.Returns[i : i+1 : i+1], fuses: list})
	}
	return slices.Clip(out)
}

// feedFuses lists the fuses each of which alone cuts a node off from the
// positive pole of a source.
func (s *supply) feedFuses(source string, v circuit.Node) []string {
	key := nodeKey{source, v}
	common, ok := s.fedBy[key]
	if !ok {
		common = s.findFeedFuses(source, v)
		s.fedBy[key] = common
	}
	return common
}

type nodeKey struct {
	source string
	node   circuit.Node
}

func (s *supply) findFeedFuses(source string, v circuit.Node) []string {
	var common []string
	first := true
	for _, e := range s.Circuit.EdgesAt(v) {
		for _, g := range s.guards[e.ID] {
			if g.Source.ID != source || g.Side != circuit.Positive || g.Far != v {
				continue
			}
			if first {
				common, first = slices.Clone(g.Fuses), false
			} else {
				common = slices.DeleteFunc(common, func(id string) bool { return !slices.Contains(g.Fuses, id) })
			}
		}
	}
	return common
}

// bySize sorts fuses and breakers by their rating, then by id.
func (s *supply) bySize(ids []string) []string {
	slices.SortFunc(ids, func(a, b string) int {
		return cmp.Or(cmp.Compare(s.fuseOf(a).RatedA, s.fuseOf(b).RatedA), cmp.Compare(a, b))
	})
	return ids
}

// bolted is a short circuit, and its current through a fuse.
type bolted struct {
	fault    *circuit.Fault
	throughA float64
}

// through is the greatest current through a fuse over shorts from one node to
// each of others.
func (s *supply) through(fuse string, from circuit.Node, to []circuit.Node, k circuit.FaultCase) bolted {
	var most bolted
	e := s.Circuit.Edge(fuse)
	for _, v := range to {
		x, ok := s.Circuit.Fault(from, v, k)
		if !ok {
			continue
		}
		if a := x.Through(e); a > most.throughA {
			most = bolted{x, a}
		}
	}
	return most
}
