package converter

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// reach is what the two poles of a source reach in a state of the circuit:
// over closed metal, diodes that let its current pass, and resistors. Following
// the metal, and not the whole network, keeps apart the two sides of a
// converter without isolation, which share their negative.
type reach struct {
	network *circuit.Network
	state   *circuit.Solution
	circuit.Poles
}

// newReach follows the poles of a source; the edge without, if any, is open.
func newReach(n *circuit.Network, s *circuit.Solution, pos, neg circuit.Node, without string) *reach {
	but := func(outward bool) circuit.Passes { return circuit.Without(passes(s, outward), n.Edge(without)) }
	return &reach{network: n, state: s, Poles: n.ReachPoles(but, pos, neg)}
}

// feeds reports whether an element is connected between the two sides with at
// least a voltage across it.
func (r *reach) feeds(e *circuit.Edge, least float64) bool {
	if !r.Span(e) || !r.state.Together(e.From, e.To) {
		return false
	}
	v := r.state.V(e.From) - r.state.V(e.To)
	return max(v, -v) > least
}

// passes goes on over closed metal, diodes that let a current pass outward or back,
// and resistors; not the bleed resistor inside a controller.
func passes(s *circuit.Solution, outward bool) circuit.Passes {
	metal := s.Feeding(outward)
	return func(e *circuit.Edge, enter circuit.Node) bool {
		return metal(e, enter) || e.Kind == circuit.ResistorEdge && e.ID == e.Part
	}
}

// rail is what the output of a converter reaches.
type rail struct {
	*reach
	nominalV float64
}

func newRail(n *circuit.Network, s *circuit.Solution, id string) *rail {
	out := n.Edge(id + ".out")
	return &rail{newReach(n, s, out.From, out.To, ""), n.Spec.Converters[id].Output.NominalV}
}

// feeds reports whether the converter supplies an element: it has a fair part
// of the output voltage.
func (r *rail) feeds(e *circuit.Edge) bool { return r.reach.feeds(e, r.nominalV/2) }

// auxiliaries lists the auxiliary batteries on the rail.
func (r *rail) auxiliaries() []*schema.Battery {
	var out []*schema.Battery
	for id, b := range schema.Sorted(r.network.Spec.Batteries) {
		if b.Role == "auxiliary" && r.Span(r.network.Edge(id)) {
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

// required is the headroom that a rule requires, as the policy has it.
func required(p *rules.Pass, rule string, fallback float64) float64 {
	if r, ok := p.Spec.Policy.Required[rule]; ok {
		return r
	}
	return fallback
}
