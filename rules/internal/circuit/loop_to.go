package circuit

import "slices"

// Loop is the metal way from a battery, or batteries in series, through the
// capacitors of a consumer and back.
type Loop struct {
	Strings  []SeriesString // all that feed it in parallel
	Edges    []*Edge        // of the way of least resistance
	Contacts []*Edge        // those among the edges, switches included
	Lead                    // what the current of all strings goes through
	Leads    []Lead         // what each of several strings has for itself, in their order
}

// Lead is metal in series: conductors at the lowest ambient, fuses and shunts. Contacts
// count as nothing.
type Lead struct {
	Ohm     float64
	LengthM float64 // of its conductors
}

// AllLengthM is the length in m of conductor of as much inductance as the whole loop:
// that of leads in parallel is less than that of each.
func (l Loop) AllLengthM() float64 {
	var perM float64
	for _, lead := range l.Leads {
		if lead.LengthM == 0 {
			return l.LengthM
		}
		perM += 1 / lead.LengthM
	}
	if perM == 0 {
		return l.LengthM
	}
	return l.LengthM + 1/perM
}

// LeadOhm is the resistance in Ohm that the string of an index has for itself, beside
// that of its batteries.
func (l Loop) LeadOhm(i int) float64 {
	if i < len(l.Leads) {
		return l.Leads[i].Ohm
	}
	return 0
}

// LoopTo finds the way with the fewest parts from a traction battery to a
// consumer and back over metal that the filter lets pass, and of several
// batteries the way of least resistance. No filter passes all, every contact
// closed. What links the batteries of a string counts as the loop's.
func (n *Network) LoopTo(consumer *Edge, pass func(*Edge) bool) (best Loop, ok bool) {
	cost := func(e *Edge, _ Node) (float64, bool) {
		return 1, e.Conducts() && (pass == nil || pass(e))
	}
	var ways [][]*Edge
	var feeding []SeriesString
	var least float64
	for _, s := range n.Strings() {
		if s[0].Role != "traction" {
			continue
		}
		out, okOut := n.way(s.Pos(), consumer.From, cost)
		back, okBack := n.way(consumer.To, s.Neg(), cost)
		if !okOut || !okBack {
			continue
		}
		edges := append(out, back...)
		feeding, ways = append(feeding, s), append(ways, slices.Concat(edges, n.linking(s, cost)))
		if whole := n.lead(ways[len(ways)-1]); !ok || whole.Ohm < least {
			least, ok = whole.Ohm, true
			best.Edges, best.Contacts = edges, nil
			for _, e := range edges {
				if e.Kind == SwitchEdge || e.Kind == ContactEdge {
					best.Contacts = append(best.Contacts, e)
				}
			}
		}
	}
	best.Strings = feeding
	best.Lead, best.Leads = n.divide(ways)
	return best, ok
}

// divide tells what several ways have in common from what each has for itself. What two
// of three share counts for each of them, as less than it is.
func (n *Network) divide(ways [][]*Edge) (trunk Lead, own []Lead) {
	if len(ways) < 2 {
		return n.lead(slices.Concat(ways...)), nil
	}
	shared := func(e *Edge) bool {
		return !slices.ContainsFunc(ways, func(way []*Edge) bool { return !slices.Contains(way, e) })
	}
	for i, way := range ways {
		var alone []*Edge
		for _, e := range way {
			if !shared(e) {
				alone = append(alone, e)
			}
		}
		own = append(own, n.lead(alone))
		if i == 0 {
			trunk = n.lead(slices.DeleteFunc(slices.Clone(way), func(e *Edge) bool { return !shared(e) }))
		}
	}
	return trunk, own
}

// linking lists what joins the batteries of a string to each other.
func (n *Network) linking(s SeriesString, cost func(*Edge, Node) (float64, bool)) (edges []*Edge) {
	for i := 1; i < len(s); i++ {
		way, _ := n.way(s[i-1].Pos, s[i].Neg, cost)
		edges = append(edges, way...)
	}
	return edges
}

// way is Path, which finds none from a node to itself.
func (n *Network) way(from, to Node, cost func(*Edge, Node) (float64, bool)) ([]*Edge, bool) {
	if from == to {
		return nil, true
	}
	path := n.Path(from, to, cost)
	return path, path != nil
}

// lead adds up edges in series.
func (n *Network) lead(edges []*Edge) (l Lead) {
	for _, e := range edges {
		switch e.Kind {
		case WireEdge:
			l.Ohm += n.ConductorResistance(e.ID, n.Spec.Vehicle.AmbientC.Min)
			l.LengthM += n.Spec.Wires[e.ID].LengthM
		case BusbarEdge:
			l.Ohm += n.ConductorResistance(e.ID, n.Spec.Vehicle.AmbientC.Min)
			l.LengthM += n.Spec.Busbars[e.ID].LengthMM / 1000
		case FuseEdge:
			l.Ohm += n.FuseResistance(n.Spec.Fuses[e.Part])
		case ShuntEdge:
			l.Ohm += n.ShuntResistance(n.Spec.Shunts[e.Part])
		}
	}
	return l
}
