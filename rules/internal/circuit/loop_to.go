package circuit

// Loop is the metal way from a battery, or batteries in series, through the
// capacitors of a consumer and back.
type Loop struct {
	Strings  []SeriesString // all that feed it in parallel
	Edges    []*Edge
	Contacts []*Edge // those among the edges, switches included
	Ohm      float64 // conductors at the lowest ambient and fuses; contacts count as nothing
	LengthM  float64 // of its conductors
}

// LoopTo finds the way with the fewest parts from a traction battery to a
// consumer and back over metal that the filter lets pass, and of several
// batteries the way of least resistance. No filter passes all, every contact
// closed.
func (n *Network) LoopTo(consumer *Edge, pass func(*Edge) bool) (best Loop, ok bool) {
	cost := func(e *Edge, _ Node) (float64, bool) {
		return 1, e.Conducts() && (pass == nil || pass(e))
	}
	var feeding []SeriesString
	for _, s := range n.Strings() {
		if s[0].Role != "traction" {
			continue
		}
		out, okOut := n.way(s.Pos(), consumer.From, cost)
		back, okBack := n.way(consumer.To, s.Neg(), cost)
		if !okOut || !okBack {
			continue
		}
		feeding = append(feeding, s)
		var l Loop
		for _, e := range append(out, back...) {
			l.add(n, e)
		}
		if !ok || l.Ohm < best.Ohm {
			best, ok = l, true
		}
	}
	best.Strings = feeding
	return best, ok
}

// way is Path, which finds none from a node to itself.
func (n *Network) way(from, to Node, cost func(*Edge, Node) (float64, bool)) ([]*Edge, bool) {
	if from == to {
		return nil, true
	}
	path := n.Path(from, to, cost)
	return path, path != nil
}

func (l *Loop) add(n *Network, e *Edge) {
	l.Edges = append(l.Edges, e)
	switch e.Kind {
	case WireEdge:
		l.Ohm += n.ConductorResistance(e.ID, n.Spec.Vehicle.AmbientC.Min)
		l.LengthM += n.Spec.Wires[e.ID].LengthM
	case BusbarEdge:
		l.Ohm += n.ConductorResistance(e.ID, n.Spec.Vehicle.AmbientC.Min)
		l.LengthM += n.Spec.Busbars[e.ID].LengthMM / 1000
	case FuseEdge:
		l.Ohm += n.FuseResistance(n.Spec.Fuses[e.Part])
	case SwitchEdge, ContactEdge:
		l.Contacts = append(l.Contacts, e)
	}
}
