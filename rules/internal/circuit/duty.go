package circuit

import (
	"slices"

	"example.org/headroom/schema"
)

// OnTraction reports whether a part or conductor has a terminal that metal joins to a
// pole of a traction battery, with every contact closed. What the return conductors of a
// shared negative join to the auxiliary network as well belongs to that.
func (n *Network) OnTraction(id string) bool {
	traction := n.traction()
	return slices.ContainsFunc(n.byPart[id], func(e *Edge) bool { return traction.Has(e.From) || traction.Has(e.To) }) ||
		slices.ContainsFunc(n.nodesOf(id), traction.Has)
}

// nodesOf lists the nodes of a part that is no more than terminals, such as a stud.
func (n *Network) nodesOf(id string) (nodes []Node) {
	if _, stud := n.Spec.Part(id).(*schema.Stud); stud {
		if v, ok := n.Node(id + ".stud"); ok {
			nodes = append(nodes, v)
		}
	}
	return nodes
}

// findTraction finds the nodes of the traction network.
func (n *Network) findTraction() Nodes {
	var traction, auxiliary []Node
	for _, e := range n.Edges {
		switch b := n.Spec.Batteries[e.Part]; {
		case e.Kind == BatteryEdge && b.Role == "traction":
			traction = append(traction, e.From, e.To)
		case e.Kind == BatteryEdge, e.Kind == ConverterOutput:
			auxiliary = append(auxiliary, e.From, e.To)
		}
	}
	found := slices.Clone(n.Reach(AllClosed, traction...))
	for v, reached := range n.Reach(AllClosed, auxiliary...) {
		found[v] = found[v] && !reached
	}
	return found
}

// CutsOff reports whether contacts of a switch, cut-out or relay lie in the circuit of a
// contactor's coil or of a controller's enable input, directly or by way of a relay's
// coil: what opens the main circuit hangs on them.
func (n *Network) CutsOff(id string) bool { return n.cutting()[id] }

// findCutting finds the switches, cut-outs and relays that cut off.
func (n *Network) findCutting() map[string]bool {
	var poles, inputs []Node // of sources; of what the main circuit hangs on
	for _, e := range n.Edges {
		switch e.Kind {
		case BatteryEdge, ConverterOutput, ChargerEdge:
			poles = append(poles, e.From, e.To)
		case EnableEdge:
			inputs = append(inputs, e.From, e.To)
		case CoilEdge:
			if n.Spec.Contactors[e.Part] != nil {
				inputs = append(inputs, e.From, e.To)
			}
		}
	}
	rails := n.Reach(AllOpen, poles...)
	switched := func(e *Edge, enter Node) bool {
		return (e.Conducts() || e.Kind == DiodeEdge) && !rails.Has(e.Other(enter))
	}
	cutting := map[string]bool{}
	for grown := true; grown; {
		grown = false
		from := slices.DeleteFunc(slices.Clone(inputs), rails.Has)
		behind := n.Reach(switched, from...)
		for _, e := range n.Edges {
			operated := e.Kind == ContactEdge && n.Spec.Relays[e.Part] != nil || e.Kind == SwitchEdge && (n.Spec.Switches[e.Part] != nil || n.Spec.Cutouts[e.Part] != nil)
			if !operated || cutting[e.Part] || !behind.Has(e.From) && !behind.Has(e.To) {
				continue
			}
			cutting[e.Part], grown = true, true
			for _, coil := range n.byPart[e.Part] {
				if coil.Kind == CoilEdge {
					inputs = append(inputs, coil.From, coil.To)
				}
			}
		}
	}
	return cutting
}
