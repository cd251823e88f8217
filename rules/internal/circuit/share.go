package circuit

// Beside lists the conductors of the nearest other way between the ends of a
// conductor, over conductors alone; none where there is no other.
func (n *Network) Beside(e *Edge) []string {
	var ids []string
	way := n.Path(e.From, e.To, func(x *Edge, _ Node) (float64, bool) {
		return n.ConductorResistance(x.ID, 20), x != e && x.IsConductor()
	})
	for _, x := range way {
		ids = append(ids, x.ID)
	}
	return ids
}

// ReturnShare is the part of a current that a conductor among the returns of a
// battery carries where that current enters the returns at a node and goes home by
// all ways that there are, by their resistances. Of all nodes it is greatest at one of
// the conductor's ends: by reciprocity it is the voltage at the node when the
// conductor alone drives a current through the rest, which has no extreme elsewhere.
func (n *Network) ReturnShare(e *Edge, s Source, enters Node) (share float64, ok bool) {
	if enters == s.Neg {
		return 0, true
	}
	f, ok := n.Fault(s.Pos, enters, FaultCase{})
	if !ok || f.BatteriesA <= 0 {
		return 0, false
	}
	return min(1, f.Through(e)/f.BatteriesA), true
}

// GreatestReturnShare is the greatest part that a return carries of the currents of the
// parts that are fed at a node.
func (n *Network) GreatestReturnShare(e *Edge, s Source, fed Node) (share float64, ok bool) {
	for _, x := range n.at[fed] {
		if x.Conducts() {
			continue
		}
		part, ok := n.ReturnShare(e, s, x.Other(fed))
		if !ok {
			return 0, false
		}
		share = max(share, part)
	}
	return share, true
}
