// Package contact tells what the contacts of a disconnect, switch, relay or
// contactor meet in their place: their current mode by mode, the highest voltage
// of their circuit, and the consumers that they feed; and what their ratings
// give for a time and at a voltage.
package contact

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// WorkingV is the highest working voltage in V of what the contacts switch, and
// adds its steps to the working: of the sources tied to them the end of charge,
// and what regeneration adds. Where that cannot be reckoned the voltage without
// it is returned with a *rules.Missing.
func WorkingV(p *rules.Pass, w *rules.Working, contacts []*circuit.Edge) (v float64, found bool, err error) {
	sources := Sources(p, contacts)
	if len(sources) == 0 {
		return 0, false, nil
	}
	v, err = demand.HighestVoltage(p, w, sources)
	return v, v > 0, err
}

// Sources lists the sources whose circuit the contacts switch.
func Sources(p *rules.Pass, contacts []*circuit.Edge) []circuit.Source {
	var out []circuit.Source
	for _, source := range p.Circuit.Sources() {
		if slices.ContainsFunc(contacts, func(e *circuit.Edge) bool { return tied(p, source, e) }) {
			out = append(out, source)
		}
	}
	return out
}

// tied reports whether a contact switches the circuit of a source: whether it
// is joined to the positive pole over metal or a resistor, or lies in the
// return of a part that is.
func tied(p *rules.Pass, s circuit.Source, e *circuit.Edge) bool {
	if own := reached(p, s.Pos, e); own[e.From] || own[e.To] {
		return true
	}
	// Its return is that of the string in which it stands.
	list := capacity.String(p.Circuit.StringOf(s))
	pos, neg := reached(p, list.Pos(), e), reached(p, list.Neg(), e)
	for _, ends := range [][2]circuit.Node{{e.From, e.To}, {e.To, e.From}} {
		if !neg[ends[0]] {
			continue
		}
		far := reached(p, ends[1], e)
		for _, x := range p.Circuit.Edges {
			if isPower(x) && (far[x.To] && pos[x.From] || far[x.From] && pos[x.To]) {
				return true
			}
		}
	}
	return false
}

// reached marks the nodes that metal, everything closed, and the resistors that
// lie in series with consumers join to a node, without passing one edge.
func reached(p *rules.Pass, from circuit.Node, without *circuit.Edge) []bool {
	marked := make([]bool, p.Circuit.Nodes())
	marked[from] = true
	for queue := []circuit.Node{from}; len(queue) > 0; queue = queue[1:] {
		for _, e := range p.Circuit.EdgesAt(queue[0]) {
			w := e.Other(queue[0])
			if !marked[w] && e != without && (e.Conducts() || InSeries(p, e)) {
				marked[w] = true
				queue = append(queue, w)
			}
		}
	}
	return marked
}

// InSeries reports whether an edge is a resistor that consumers are fed through.
func InSeries(p *rules.Pass, e *circuit.Edge) bool {
	if e.Kind != circuit.ResistorEdge {
		return false
	}
	r, ok := p.Spec.Resistors[e.Part]
	return ok && (r.Role == "precharge" || r.Role == "dropper")
}

// IsConsumer reports whether an edge is something that a contact is there to
// feed and to cut off, logic inputs and meters included.
func IsConsumer(e *circuit.Edge) bool {
	return isPower(e) || e.Kind == circuit.EnableEdge || e.Kind == circuit.MeterEdge
}

func isPower(e *circuit.Edge) bool {
	switch e.Kind {
	case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput, circuit.CoilEdge:
		return true
	}
	return false
}
