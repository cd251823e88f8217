package contactor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

// clamp is something that takes the energy of a coil at switch-off.
type clamp struct {
	kind  string // as in the spec: diode, diode+zener, tvs, varistor, resistor
	owner string // the part it belongs to
	path  string // of the value that says so
	volts schema.Number
	from  string // path of volts, or of the policy value that stands in for it
}

// clamps lists what lies across a device's coil: its own suppression, that of
// coils in parallel with it, and diodes as parts.
func (d device) clamps(p *rules.Pass) []clamp {
	pos, neg := d.sides(p)
	var out []clamp
	for _, other := range d.others(p) {
		coil := p.Circuit.Edge(other.id + ".coil")
		parallel := slices.Contains(pos, coil.From) && slices.Contains(neg, coil.To)
		if !parallel {
			continue
		}
		switch s := other.coil.Suppression; s {
		case "", "none", "external":
		default:
			k := clamp{s, other.id, other.coilPath("suppression"), other.coil.ClampV, other.coilPath("clamp_V")}
			out = append(out, k.orForward(p))
		}
	}
	for id, diode := range schema.Sorted(p.Spec.Diodes) {
		e := p.Circuit.Edge(id)
		if e != nil && !diode.Spare && slices.Contains(neg, e.From) && slices.Contains(pos, e.To) {
			k := clamp{"diode", id, diode.Path(), diode.ForwardV, diode.Path() + ".forward_V"}
			out = append(out, k.orForward(p))
		}
	}
	for id, r := range schema.Sorted(p.Spec.Resistors) {
		if e := p.Circuit.Edge(id); e != nil && !r.Spare && across(e, pos, neg) {
			out = append(out, clamp{kind: "resistor", owner: id, path: r.Path(), from: d.coilPath("clamp_V")})
		}
	}
	return out
}

// orForward takes the policy's forward voltage for a plain diode that states
// no clamp.
func (k clamp) orForward(p *rules.Pass) clamp {
	if !k.volts.Known && k.kind == "diode" {
		k.volts, k.from = schema.Some(p.Spec.Policy.DiodeForwardV), "policy.diode_forward_V"
	}
	return k
}

// reversed lists the diodes that conduct across a coil in the direction of its
// supply.
func (d device) reversed(p *rules.Pass) []string {
	pos, neg := d.sides(p)
	var ids []string
	for id, diode := range schema.Sorted(p.Spec.Diodes) {
		if e := p.Circuit.Edge(id); e != nil && !diode.Spare && slices.Contains(pos, e.From) && slices.Contains(neg, e.To) {
			ids = append(ids, id)
		}
	}
	return ids
}

func (d device) diodeReversed(p *rules.Pass) bool { return len(d.reversed(p)) > 0 }

// sides are the nodes that conductors alone join to the coil's positive and
// negative end; which is which follows from how a mode feeds it.
func (d device) sides(p *rules.Pass) (pos, neg []circuit.Node) {
	coil := p.Circuit.Edge(d.id + ".coil")
	pos, neg = joined(p.Circuit, coil.From), joined(p.Circuit, coil.To)
	if feeds := d.feeds(p); len(feeds) > 0 && feeds[0].fedAt(coil) == coil.To {
		return neg, pos
	}
	return pos, neg
}

// fedAt is the end of a coil at which a feed enters it.
func (f feed) fedAt(coil *circuit.Edge) circuit.Node {
	at := f.source.Pos
	for _, e := range f.path {
		if at == coil.From || at == coil.To {
			break
		}
		at = e.Other(at)
	}
	return at
}

// joined lists the nodes that wires and bus bars join to a node.
func joined(n *circuit.Network, v circuit.Node) []circuit.Node {
	nodes := []circuit.Node{v}
	for i := 0; i < len(nodes); i++ {
		for _, e := range n.EdgesAt(nodes[i]) {
			if w := e.Other(nodes[i]); e.IsConductor() && !slices.Contains(nodes, w) {
				nodes = append(nodes, w)
			}
		}
	}
	return nodes
}

// across reports whether an edge lies between two sets of nodes.
func across(e *circuit.Edge, a, b []circuit.Node) bool {
	return slices.Contains(a, e.From) && slices.Contains(b, e.To) || slices.Contains(a, e.To) && slices.Contains(b, e.From)
}

// lowest is the clamp that acts first: a plain diode before anything else.
func lowest(clamps []clamp) (clamp, bool) {
	if len(clamps) == 0 {
		return clamp{}, false
	}
	best := clamps[0]
	for _, k := range clamps[1:] {
		if k.kind == "diode" && best.kind != "diode" || k.volts.Known && (!best.volts.Known || k.volts.Value < best.volts.Value) && best.kind != "diode" {
			best = k
		}
	}
	return best, true
}
