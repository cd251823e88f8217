package circuit

import (
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
		if !slices.ContainsFunc(phaseTerminals, func(name string) bool {
			v, ok := n.Node(motor + "." + name)
			return ok && joined[v]
		}) {
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
