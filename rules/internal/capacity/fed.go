package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// Fed reports whether a string of batteries feeds a consumer in a state by what is
// made to carry its current: closed contacts, diodes forward and any resistor
// but that of a pre-charge.
func Fed(p *rules.Pass, state *circuit.Solution, s circuit.SeriesString, consumer *circuit.Edge) bool {
	return leads(p, state, s.Pos(), consumer.From) && leads(p, state, consumer.To, s.Neg())
}

func leads(p *rules.Pass, state *circuit.Solution, from, to circuit.Node) bool {
	_, ok := way(p.Circuit, from, to, func(e *circuit.Edge, enter circuit.Node) (float64, bool) {
		switch e.Kind {
		case circuit.SwitchEdge, circuit.ContactEdge:
			return 1, state.Closed(e.ID)
		case circuit.DiodeEdge:
			return 1, enter == e.From
		case circuit.ResistorEdge:
			r, ok := p.Spec.Resistors[e.Part]
			return 1, ok && r.Role != "precharge"
		}
		return 1, e.Conducts()
	})
	return ok
}
