package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// clamp is something that absorbs the energy of a coil at switch-off.
type clamp struct {
	kind  string // as in the spec: diode, diode+zener, tvs, varistor, resistor; diode+resistor
	owner string // the parts that it is made of
	path  string // of the value that says so
	volts schema.Number
	from  string // path of volts, or of the policy value that stands in for it
	row   *row   // what it is made of, if of parts of its own
}

// clamps lists what is across a device's coil: its own suppression, that of
// coils in parallel with it, and rows of diodes and resistors as parts.
func (d device) clamps(p *rules.Pass) []clamp {
	pos, neg := d.sides(p)
	var out []clamp
	for _, other := range devices(p) {
		coil := p.Circuit.Edge(other.coilID())
		parallel := p.Circuit.Joined(pos, coil.From) && p.Circuit.Joined(neg, coil.To)
		if !parallel {
			continue
		}
		switch s := other.coil.Suppression; s {
		case "", "none", "external":
		default:
			k := clamp{kind: s, owner: other.id, path: other.coilPath("suppression"), volts: other.coil.ClampV, from: other.coilPath("clamp_V")}
			out = append(out, k.orForward(p))
		}
	}
	for _, r := range d.rows(p) {
		// The coil drives its current on: out at its negative end.
		if !r.chain.Backward {
			continue
		}
		k := clamp{kind: r.kind(), owner: r.names(), path: r.path(), row: &r}
		k.volts, k.from = r.clampV(p, d)
		out = append(out, k)
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

// String describes the clamp in a message.
func (k clamp) String() string {
	if k.row != nil {
		return k.owner
	}
	return "the " + k.kind + " of " + k.owner
}

// steps adds the clamp's voltage, which must be known, to the working; volts is
// that of the coil before it is switched off.
func (k clamp) steps(c *rules.Check, p *rules.Pass, d device, volts float64) float64 {
	if k.row != nil && len(k.row.resistors) > 0 {
		return k.row.steps(c, p, d, volts)
	}
	return c.Given("V_clamp", "clamp voltage of "+k.owner, k.volts.Value, "V", k.from)
}

// sides are the coil's positive and negative end; which is which follows from how a
// mode feeds it.
func (d device) sides(p *rules.Pass) (pos, neg circuit.Node) {
	coil := p.Circuit.Edge(d.coilID())
	if feeds := d.feeds(p); len(feeds) > 0 && feeds[0].fedAt(coil) == coil.To {
		return coil.To, coil.From
	}
	return coil.From, coil.To
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

// across reports whether conductors join the two ends of an edge to two nodes.
func across(p *rules.Pass, e *circuit.Edge, a, b circuit.Node) bool {
	joined := p.Circuit.Joined
	return joined(a, e.From) && joined(b, e.To) || joined(a, e.To) && joined(b, e.From)
}

// parallel lists the devices whose coils are across the same nodes, itself
// included: what suppresses one carries the current of all.
func (d device) parallel(p *rules.Pass) []device {
	pos, neg := d.sides(p)
	var out []device
	for _, other := range devices(p) {
		if across(p, p.Circuit.Edge(other.coilID()), pos, neg) {
			out = append(out, other)
		}
	}
	return out
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
