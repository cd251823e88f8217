package circuit

import "example.org/headroom/schema"

// EarthedFuse is a fuse in the pole of a source that is connected to the chassis.
type EarthedFuse struct {
	Fuse   *Edge
	Source Source
	Side   Side // of the source's poles, the earthed one
}

// EarthedFuses lists the fuses in the way of a consumer's current to, or from, an
// earthed pole: between the pole and what the consumer is connected to. A fuse in the
// lead of a meter is none. Each is listed once for each source.
func (n *Network) EarthedFuses() []EarthedFuse {
	chassis, ok := n.Node(schema.Chassis)
	if !ok {
		return nil
	}
	var out []EarthedFuse
	for _, s := range n.Sources() {
		list := n.StringOf(s)
		if n.MetalJoins(list.Pos(), list.Neg()) {
			continue // shorted
		}
		side, pole := Negative, list.Neg()
		if n.MetalJoins(chassis, list.Pos()) {
			side, pole = Positive, list.Pos()
		}
		if !n.MetalJoins(chassis, pole) {
			continue
		}
		for _, e := range n.Edges {
			if e.Kind == FuseEdge && n.MetalJoins(e.From, pole) && n.cutsOff(e, pole) {
				out = append(out, EarthedFuse{e, s, side})
			}
		}
	}
	return out
}

// cutsOff reports whether a consumer loses its way over metal to a node without an
// edge.
func (n *Network) cutsOff(e *Edge, from Node) bool {
	left := n.Reach(Without(AllClosed, e), from)
	for _, end := range []Node{e.From, e.To} {
		if left[end] {
			continue
		}
		for v, beyond := range n.Reach(Without(AllClosed, e), end) {
			for _, x := range n.at[v] {
				if beyond && x.isPower() && x.Kind != CoilEdge {
					return true
				}
			}
		}
	}
	return false
}
