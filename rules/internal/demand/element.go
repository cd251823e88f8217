package demand

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Element is the edges of one part that carry a current together: a wire, a fuse, a
// shunt, a pole by itself, or all poles of a disconnect.
type Element []*circuit.Edge

// Has reports whether an edge belongs to the element.
func (e Element) Has(x *circuit.Edge) bool { return slices.Contains(e, x) }

// IDs lists the ids of the edges.
func (e Element) IDs() []string {
	ids := make([]string, len(e))
	for i, x := range e {
		ids[i] = x.ID
	}
	return ids
}

// Unsound is Pass.Unsound for the terminals of the element.
func (e Element) Unsound(p *rules.Pass, c *rules.Check) bool {
	for _, x := range e {
		if p.Unsound(c, p.Circuit.Terminals(x.From)[0], p.Circuit.Terminals(x.To)[0]) {
			return true
		}
	}
	return false
}

// Use is the greatest current of an element in one mode, and the corner in which
// it flows.
type Use struct {
	Mode    *schema.Mode  // nil for a current that no mode draws
	A       float64       // without its sign
	Against bool          // it flows from the second terminal of the edge to the first
	Edge    *circuit.Edge // the one that carries it; nil where several do
	At      circuit.Case
}

// ModeID is the id of the mode; "" where the current comes from none.
func (u Use) ModeID() string {
	if u.Mode == nil {
		return ""
	}
	return u.Mode.ID
}

// SignedA is the current in A, negative where it flows against the edge.
func (u Use) SignedA() float64 {
	if u.Against {
		return -u.A
	}
	return u.A
}

// Greatest is the use with the greatest current, the first of equals; the zero Use
// without any.
func Greatest(uses []Use) (worst Use) {
	for i, u := range uses {
		if i == 0 || u.A > worst.A {
			worst = u
		}
	}
	return worst
}

// traceA is the current in A that counts as none: what the inputs of meters and
// leakage come to.
const traceA = 1e-4

// LeastA is the least current in A that counts as flowing through a part.
const LeastA = 1e-3

// sameA is the share by which a current must be greater than another to count as
// greater: of equal currents the first counts, whatever the last digits say.
const sameA = 1e-9

// Backwards reports whether what controllers draw flows from the second terminal
// to the first in every mode, so that a polarized part is the wrong way round.
func Backwards(uses []Use) bool {
	against := false
	for _, u := range uses {
		for _, draw := range u.Mode.Draw {
			switch drawn := draw.CurrentA.Or(0) > 0 || draw.PowerW.Or(0) > 0; {
			case !drawn || u.A <= LeastA:
			case !u.Against:
				return false
			default:
				against = true
			}
		}
	}
	return against
}

// Uses lists the greatest current of an element in each mode, by mode. Failed is a
// solution that they cannot rest on; Check.Unsettled reports it.
func (d *Demands) Uses(e Element) (uses []Use, failed *circuit.Solution) {
	for _, m := range d.states() {
		u, failed := greatest(e, m)
		if failed != nil {
			return nil, failed
		}
		uses = append(uses, u)
	}
	return uses, nil
}

// greatest is the greatest current of an element over some corners of a mode.
func greatest(e Element, m modeStates) (Use, *circuit.Solution) {
	var at *circuit.Solution
	var most float64 // A, with its sign
	edge := e[0]
	for _, s := range m.corners {
		for _, x := range e {
			if !s.SettledAt(x) {
				return Use{}, s
			}
			if i := s.CurrentAt(x); math.Abs(i) >= traceA && math.Abs(i) > math.Abs(most)*(1+sameA) {
				most, edge, at = i, x, s
			}
		}
	}
	if at == nil {
		return Use{Mode: m.Mode, Edge: edge, At: circuit.Case{Mode: m.ID}}, nil
	}
	return Use{Mode: m.Mode, A: math.Abs(most), Against: most < 0, Edge: edge, At: at.Case}, nil
}

// JointUses is the greatest current, mode by mode, of a joint in which several
// conductors meet: half of what all of them carry.
func (d *Demands) JointUses(v circuit.Node) (uses []Use, failed *circuit.Solution) {
	return d.sumUses(d.Circuit.ConductorsAt(v), 0.5)
}

// WayUses is the greatest current, mode by mode, of one way of a block: what the
// conductors that end on it carry together.
func (d *Demands) WayUses(conductors []*circuit.Edge) (uses []Use, failed *circuit.Solution) {
	return d.sumUses(conductors, 1)
}

// sumUses is the greatest sum of what conductors carry, mode by mode, times a share.
func (d *Demands) sumUses(conductors []*circuit.Edge, share float64) (uses []Use, failed *circuit.Solution) {
	for _, m := range d.states() {
		u := Use{Mode: m.Mode, At: circuit.Case{Mode: m.ID}}
		for _, s := range m.corners {
			var sum float64
			for _, e := range conductors {
				if !s.SettledAt(e) {
					return nil, s
				}
				if i := math.Abs(s.CurrentAt(e)); i >= traceA {
					sum += i
				}
			}
			if a := share * sum; a > u.A*(1+sameA) {
				u.A, u.At = a, s.Case
			}
		}
		uses = append(uses, u)
	}
	return uses, nil
}
