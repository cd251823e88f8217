package circuit

import (
	"math"
	"slices"

	"example.org/headroom/schema"
)

// phaseTerminals are those of a motor, and of what drives it.
var phaseTerminals = []string{"u", "v", "w"}

// DrivenBy is the controller whose phases metal joins to a motor, "" if none is.
func (n *Network) DrivenBy(motor string) string {
	for id := range schema.Sorted(n.Spec.Controllers) {
		if len(n.PhaseCables(id, motor)) > 0 {
			return id
		}
	}
	return ""
}

// PhaseCables lists the conductors between a controller and a motor, by phase and from
// the controller on: whatever metal joins to a phase terminal of the one and of the other.
func (n *Network) PhaseCables(controller, motor string) (out []*Edge) {
	for _, name := range phaseTerminals {
		from, ok := n.Node(controller + "." + name)
		if !ok {
			continue
		}
		joined := n.Reach(AllClosed, from)
		if _, ok := n.phaseEnd(joined, motor); !ok {
			continue
		}
		for _, e := range n.Edges {
			if e.IsConductor() && joined[e.From] && !slices.Contains(out, e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// phaseEnd is the phase terminal of a motor in a set of nodes.
func (n *Network) phaseEnd(joined Nodes, motor string) (Node, bool) {
	for _, name := range phaseTerminals {
		if v, ok := n.Node(motor + "." + name); ok && joined[v] {
			return v, true
		}
	}
	return 0, false
}

// Phase is what an edge has to do with the phases of a motor.
type Phase struct {
	Controller string
	// Share is the part of the phase current that the edge carries with every contact
	// closed: 1 in a row, by the resistances where several ways are in parallel, 0 in a
	// branch that ends nowhere.
	Share float64
}

// PhaseOf is the phase circuit in which an edge lies: that of a controller to which metal
// joins a motor. An edge of a phase that metal joins to the supply as well is in none,
// since nobody knows what flows there.
func (n *Network) PhaseOf(e *Edge) (p Phase, ok bool) {
	if e != nil {
		p, ok = n.phases()[e]
	}
	return p, ok
}

func (n *Network) findPhases() map[*Edge]Phase {
	out := map[*Edge]Phase{}
	for id := range schema.Sorted(n.Spec.Controllers) {
		pos, _ := n.Node(id + ".pos")
		neg, _ := n.Node(id + ".neg")
		for _, name := range phaseTerminals {
			from, ok := n.Node(id + "." + name)
			if !ok {
				continue
			}
			joined := n.Reach(AllClosed, from)
			if joined[pos] || joined[neg] {
				continue
			}
			for motor := range schema.Sorted(n.Spec.Motors) {
				if to, ok := n.phaseEnd(joined, motor); ok {
					n.takePhase(out, id, joined, from, to)
				}
			}
		}
	}
	return out
}

// takePhase adds the edges of one phase, with the greatest share of those to several
// motors: all of the current may go to one.
func (n *Network) takePhase(out map[*Edge]Phase, controller string, joined Nodes, from, to Node) {
	var edges []*Edge
	for _, e := range n.Edges {
		if e.Conducts() && joined[e.From] && joined[e.To] {
			edges = append(edges, e)
		}
	}
	shares := n.sharesBetween(edges, from, to)
	for i, e := range edges {
		if p, ok := out[e]; !ok || shares[i] > p.Share {
			out[e] = Phase{controller, shares[i]}
		}
	}
}

// sharesBetween is the part of a current from one node to another that each edge
// carries, without its sign, by their resistances at 20 C.
func (n *Network) sharesBetween(edges []*Edge, from, to Node) []float64 {
	p := newPattern(n.Nodes(), edges)
	diagonal, off := make([]float64, n.Nodes()), make([]float64, p.values)
	for i := range diagonal {
		diagonal[i] = 1e-12 // of nodes that hang on nothing; it draws nothing that counts
	}
	diagonal[to]++ // the reference
	siemens := make([]float64, len(edges))
	for i, e := range edges {
		siemens[i] = 1 / max(leastOhm, n.metalResistance(e))
		if at := p.edge[i]; at >= 0 {
			diagonal[e.From] += siemens[i]
			diagonal[e.To] += siemens[i]
			off[at] -= siemens[i]
		}
	}
	shares, v := make([]float64, len(edges)), make([]float64, n.Nodes())
	f := p.newFactor()
	if !f.compute(diagonal, off) {
		for i := range shares {
			shares[i] = 1 // none is taken to carry less than it may
		}
		return shares
	}
	v[from] = 1
	f.solve(v, v)
	for i, e := range edges {
		if e.From != e.To {
			shares[i] = min(1, roundShare(math.Abs(v[e.From]-v[e.To])*siemens[i]))
		}
	}
	return shares
}

// roundShare takes the last digits off a share, so that what is in a row carries all.
func roundShare(s float64) float64 { return math.Round(s*1e6) / 1e6 }

// metalResistance is the resistance of a conductor at 20 C, or of a closed contact,
// a fuse or a shunt, in Ohm.
func (n *Network) metalResistance(e *Edge) float64 {
	switch {
	case e.IsConductor():
		return n.ConductorResistance(e.ID, 20)
	case e.Kind == FuseEdge:
		return n.FuseResistance(n.Spec.Fuses[e.Part])
	case e.Kind == ShuntEdge:
		return n.ShuntResistance(n.Spec.Shunts[e.Part])
	}
	return n.closedOhm[e.index]
}

// PhaseShort is a phase terminal of a motor, and what metal joins it to that is no phase
// of a controller of its own: a pole of a battery or of a controller, the chassis, or
// another phase.
type PhaseShort struct{ Phase, To string }

// PhaseShorts lists what the phases of a motor are shorted to, each by the first that is
// found. A brushed motor may have one end on a pole, as where its controller switches the
// other; both on one piece of metal are a short circuit of what drives it.
func (n *Network) PhaseShorts(motor string) (out []PhaseShort) {
	m := n.Spec.Motors[motor]
	var others []string
	if m.MotorKind != "brushed" {
		others = n.poles()
	}
	for i, t := range m.Terminals() {
		phase := motor + "." + t.Name
		if !n.Connected(phase) {
			continue
		}
		v := n.terminals[phase]
		to := slices.IndexFunc(others, func(name string) bool { return n.MetalJoins(v, n.terminals[name]) })
		if to >= 0 {
			out = append(out, PhaseShort{phase, others[to]})
			continue
		}
		// A contact that joins two phases may be a brake: only what cannot open counts.
		for _, before := range m.Terminals()[:i] {
			if name := motor + "." + before.Name; n.fixed[n.terminals[name]] == n.fixed[v] {
				out = append(out, PhaseShort{phase, name})
				break
			}
		}
	}
	return out
}

// poles lists the poles of batteries and controllers, and the chassis.
func (n *Network) poles() (names []string) {
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		if !b.Spare {
			names = append(names, id+".pos", id+".neg")
		}
	}
	for id, k := range schema.Sorted(n.Spec.Controllers) {
		if !k.Spare {
			names = append(names, id+".pos", id+".neg")
		}
	}
	return append(names, schema.Chassis)
}
