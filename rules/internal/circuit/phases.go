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
