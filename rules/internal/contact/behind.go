package contact

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// Behind lists the consumers that the contacts feed in a solved state: those
// that closed metal, diodes and dropper resistors no longer join to both poles
// of a source once the contacts open. A consumer with a second feed is not
// among them.
func Behind(p *rules.Pass, contacts []*circuit.Edge, state *circuit.Solution) []*circuit.Edge {
	before, after := feeding(p, state, nil), feeding(p, state, contacts)
	var out []*circuit.Edge
	for _, e := range p.Circuit.Edges {
		if IsConsumer(e) && before.feeds(e) && !after.feeds(e) {
			out = append(out, e)
		}
	}
	return out
}

// fed marks the nodes that are joined to a positive and to a negative pole.
type fed struct{ pos, neg []bool }

func (f fed) feeds(e *circuit.Edge) bool {
	return f.pos[e.From] && f.neg[e.To] || f.pos[e.To] && f.neg[e.From]
}

// feeding spreads from the poles of the sources that are there in a state, with
// some contacts opened.
func feeding(p *rules.Pass, state *circuit.Solution, open []*circuit.Edge) fed {
	var pos, neg []circuit.Node
	for _, source := range p.Circuit.Sources() {
		if gives(p, state, source) {
			pos, neg = append(pos, source.Pos), append(neg, source.Neg)
		}
	}
	spread := func(roots []circuit.Node, outward bool) []bool {
		marked := make([]bool, p.Circuit.Nodes())
		for _, v := range roots {
			marked[v] = true
		}
		for queue := roots; len(queue) > 0; queue = queue[1:] {
			for _, e := range p.Circuit.EdgesAt(queue[0]) {
				if w := e.Other(queue[0]); !marked[w] && !slices.Contains(open, e) && passes(p, state, e, queue[0], outward) {
					marked[w] = true
					queue = append(queue, w)
				}
			}
		}
		return marked
	}
	return fed{spread(pos, true), spread(neg, false)}
}

// passes reports whether an edge leads on from a node in a state: outward with
// the current, or back against it.
func passes(p *rules.Pass, state *circuit.Solution, e *circuit.Edge, enter circuit.Node, outward bool) bool {
	switch e.Kind {
	case circuit.SwitchEdge, circuit.ContactEdge:
		return state.Closed(e.ID)
	case circuit.DiodeEdge:
		return (enter == e.From) == outward
	}
	return e.Conducts() || InSeries(p, e)
}

// gives reports whether a source is there in a state: a battery, a converter
// that runs, a charger that is connected.
func gives(p *rules.Pass, state *circuit.Solution, source circuit.Source) bool {
	switch source.Role {
	case "converter":
		return slices.Contains(state.ConvertersOn, source.ID)
	case "charger":
		m := p.Spec.Modes[state.Case.Mode]
		return m != nil && slices.Contains(m.Connected, source.ID)
	}
	return true
}
