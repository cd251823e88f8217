package converter

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

// rail is what the output of one converter reaches in a state of the circuit:
// over closed metal, diodes that let its current pass, and resistors.
type rail struct {
	network  *circuit.Network
	state    *circuit.Solution
	nominalV float64
	pos, neg []bool // by node
}

// newRail follows a converter's output in a state of the circuit. Following the
// metal, and not the whole network, keeps apart the two sides of a converter
// without isolation, which share their negative.
func newRail(n *circuit.Network, s *circuit.Solution, id string) *rail {
	out := n.Edge(id + ".out")
	return &rail{
		network: n, state: s, nominalV: n.Spec.Converters[id].Output.NominalV,
		pos: spread(n, s, out.From, true), neg: spread(n, s, out.To, false),
	}
}

// spread marks what a node reaches; outward tells the direction in which
// diodes are passed.
func spread(n *circuit.Network, s *circuit.Solution, from circuit.Node, outward bool) []bool {
	seen := make([]bool, n.Nodes())
	seen[from] = true
	for queue := []circuit.Node{from}; len(queue) > 0; queue = queue[1:] {
		for _, e := range n.EdgesAt(queue[0]) {
			if next := e.Other(queue[0]); !seen[next] && passes(s, e, queue[0], outward) {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return seen
}

func passes(s *circuit.Solution, e *circuit.Edge, enter circuit.Node, outward bool) bool {
	switch e.Kind {
	case circuit.SwitchEdge, circuit.ContactEdge:
		return s.Closed(e.ID)
	case circuit.DiodeEdge:
		return (enter == e.From) == outward
	case circuit.ResistorEdge:
		return e.ID == e.Part // not the bleed resistor inside a controller
	}
	return e.Conducts()
}

// feeds reports whether the converter supplies an element: it hangs between
// the two sides and has a fair part of the voltage across it.
func (r *rail) feeds(e *circuit.Edge) bool {
	if e == nil || !r.spans(e) || !r.state.Together(e.From, e.To) {
		return false
	}
	v := r.state.V(e.From) - r.state.V(e.To)
	return max(v, -v) > r.nominalV/2
}

func (r *rail) spans(e *circuit.Edge) bool {
	return r.pos[e.From] && r.neg[e.To] || r.pos[e.To] && r.neg[e.From]
}

// auxiliaries lists the auxiliary batteries on the rail.
func (r *rail) auxiliaries() []*schema.Battery {
	var out []*schema.Battery
	for id, b := range schema.Sorted(r.network.Spec.Batteries) {
		if b.Role == "auxiliary" && r.spans(r.network.Edge(id)) {
			out = append(out, b)
		}
	}
	return out
}

// idle is a mode with its consumers off: it tells what is closed and who runs,
// undisturbed by an overload.
func idle(n *circuit.Network, mode string) *circuit.Solution {
	return n.Solve(circuit.Case{Mode: mode, NoDraw: true, NoLoads: true})
}

// runs reports whether a converter runs in a solution.
func runs(s *circuit.Solution, id string) bool { return slices.Contains(s.ConvertersOn, id) }

// wired yields the converters that are connected, by id.
func wired(p *rules.Pass) []*schema.Converter {
	var out []*schema.Converter
	for id, v := range schema.Sorted(p.Spec.Converters) {
		// Unconnected terminals have a finding of their own.
		if !v.Spare && p.Circuit.Connected(id+".in_pos") && p.Circuit.Connected(id+".out_pos") {
			out = append(out, v)
		}
	}
	return out
}

// required is the headroom that a rule asks for, as the policy has it.
func required(p *rules.Pass, rule string, fallback float64) float64 {
	if r, ok := p.Spec.Policy.Required[rule]; ok {
		return r
	}
	return fallback
}

func amperes(v float64) rules.Quantity { return rules.Quantity{Value: v, Unit: "A"} }
func volts(v float64) rules.Quantity   { return rules.Quantity{Value: v, Unit: "V"} }
