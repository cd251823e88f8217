package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// Loop is the metal way from a battery, or batteries in series, through the
// capacitors of a consumer and back.
type Loop struct {
	Strings  []String // all that feed it in parallel
	Edges    []*circuit.Edge
	Contacts []*circuit.Edge // those among the edges, switches included
	Ohm      float64         // conductors at the lowest ambient and fuses; contacts count as nothing
	LengthM  float64         // of its conductors
}

// LoopTo finds the way with the fewest parts from a traction battery to a
// consumer and back over metal that the filter lets pass, and of several
// batteries the way of least resistance. No filter passes all, every contact
// closed.
func LoopTo(p *rules.Pass, consumer *circuit.Edge, pass func(*circuit.Edge) bool) (best Loop, ok bool) {
	cost := func(e *circuit.Edge, _ circuit.Node) (float64, bool) {
		return 1, e.Conducts() && (pass == nil || pass(e))
	}
	var feeding []String
	for _, s := range Strings(p.Circuit) {
		if s[0].Role != "traction" {
			continue
		}
		out, okOut := way(p.Circuit, s.Pos(), consumer.From, cost)
		back, okBack := way(p.Circuit, consumer.To, s.Neg(), cost)
		if !okOut || !okBack {
			continue
		}
		feeding = append(feeding, s)
		var l Loop
		for _, e := range append(out, back...) {
			l.add(p, e)
		}
		if !ok || l.Ohm < best.Ohm {
			best, ok = l, true
		}
	}
	best.Strings = feeding
	return best, ok
}

// way is Path, which finds none from a node to itself.
func way(n *circuit.Network, from, to circuit.Node, cost func(*circuit.Edge, circuit.Node) (float64, bool)) ([]*circuit.Edge, bool) {
	if from == to {
		return nil, true
	}
	path := n.Path(from, to, cost)
	return path, path != nil
}

func (l *Loop) add(p *rules.Pass, e *circuit.Edge) {
	l.Edges = append(l.Edges, e)
	switch e.Kind {
	case circuit.WireEdge:
		l.Ohm += p.Circuit.ConductorResistance(e.ID, p.Spec.Vehicle.AmbientC.Min)
		l.LengthM += p.Spec.Wires[e.ID].LengthM
	case circuit.BusbarEdge:
		l.Ohm += p.Circuit.ConductorResistance(e.ID, p.Spec.Vehicle.AmbientC.Min)
		l.LengthM += p.Spec.Busbars[e.ID].LengthMM / 1000
	case circuit.FuseEdge:
		l.Ohm += p.Circuit.FuseResistance(p.Spec.Fuses[e.Part])
	case circuit.SwitchEdge, circuit.ContactEdge:
		l.Contacts = append(l.Contacts, e)
	}
}
