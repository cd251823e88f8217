package circuit

import "slices"

// FusesBeside lists the groups of fuses in parallel: those of a group lead from one
// zone of closed metal without fuses to one other, so that none of them protects
// anything by itself. Two conductors in parallel with a fuse at both ends of each are
// not such a group. The fuses of a group are in the order of their ids.
func (n *Network) FusesBeside() [][]string {
	zones, _ := n.joinedZones(func(e *Edge) bool { return e.Conducts() && !e.Protects() })
	groups := map[[2]int][]string{}
	for _, e := range n.Edges {
		if a, b := zones[e.From], zones[e.To]; e.Kind == FuseEdge && a != b {
			between := [2]int{min(a, b), max(a, b)}
			groups[between] = append(groups[between], e.Part)
		}
	}
	var out [][]string
	for _, ids := range groups {
		if len(ids) > 1 {
			slices.Sort(ids)
			out = append(out, ids)
		}
	}
	slices.SortFunc(out, slices.Compare)
	return out
}

// OwnFuse reports whether a string in parallel with others has a fuse of its own: one
// that, open, keeps the others and all consumers from one of its ends, or one between
// its batteries. What is in a battery counts too; by is what the fuse is called.
func (n *Network) OwnFuse(s SeriesString, others []SeriesString) (by string, ok bool) {
	for _, b := range s {
		if b.InternalFuseA > 0 {
			return "the fuse inside " + b.ID, true
		}
	}
	for _, e := range n.Edges {
		if !e.Protects() {
			continue
		}
		if s.DividedBy(n, e) {
			return e.Part, true
		}
		left := Without(AllClosed, e)
		pos, neg := n.Reach(left, s.Pos()), n.Reach(left, s.Neg())
		alone := func(found Nodes, pole func(SeriesString) Node) bool {
			return !slices.ContainsFunc(others, func(o SeriesString) bool { return found[pole(o)] }) &&
				!slices.ContainsFunc(n.Edges, func(x *Edge) bool {
					return (x.Kind == ControllerEdge || x.Kind == ConverterInput || x.Kind == LoadEdge) && (found[x.From] || found[x.To])
				})
		}
		if n.MetalJoins(e.From, s.Pos()) && alone(pos, SeriesString.Pos) || n.MetalJoins(e.From, s.Neg()) && alone(neg, SeriesString.Neg) {
			return e.Part, true
		}
	}
	return "", false
}
