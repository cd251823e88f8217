package wiring

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// passing names what connects a traction battery past its open disconnects to
// a part, from where the path leaves the one to a disconnect, to the other side of
// one or to the part; none where it is not found.
func passing(p *rules.Pass, s *circuit.Solution, pos, neg circuit.Node) (ids []string) {
	var poles []*circuit.Edge
	for id := range schema.Sorted(p.Spec.Disconnects) {
		poles = append(poles, p.Circuit.EdgesOf(id)...)
	}
	for _, list := range p.Circuit.Strings() {
		for _, way := range []struct{ root, end circuit.Node }{{list.Pos(), pos}, {list.Neg(), neg}} {
			for _, id := range wayPast(p, s, poles, way.root, way.end) {
				if !slices.Contains(ids, id) {
					ids = append(ids, id)
				}
			}
		}
	}
	return ids
}

// wayPast is the part of a path from a pole of a battery that no open disconnect
// interrupts, though there is one at that pole.
func wayPast(p *rules.Pass, s *circuit.Solution, poles []*circuit.Edge, root, end circuit.Node) (ids []string) {
	cost := func(e *circuit.Edge, _ circuit.Node) (float64, bool) {
		switch e.Kind {
		case circuit.SwitchEdge, circuit.ContactEdge:
			return 1, s.Closed(e.ID) && !slices.Contains(poles, e)
		case circuit.BatteryEdge, circuit.ConverterInput, circuit.ChargerEdge, circuit.ControllerEdge:
			return 0, false
		case circuit.ResistorEdge, circuit.DiodeEdge, circuit.LoadEdge, circuit.CoilEdge, circuit.MeterEdge:
			const last = 1000 // conductors come first
			return last, true
		}
		return 1, e.Conducts()
	}
	trunk := trunkOf(p, poles, root)
	if len(trunk) == 0 {
		return nil // no disconnect at this pole
	}
	way, at := p.Circuit.Path(root, end, cost), root
	for _, e := range way {
		if at = e.Other(at); trunk[at] {
			ids = nil
			continue
		}
		ids = append(ids, e.Part)
		if slices.ContainsFunc(poles, func(pole *circuit.Edge) bool { return pole.From == at || pole.To == at }) {
			break
		}
	}
	return slices.Compact(ids)
}

// trunkOf marks the nodes between a pole of a battery and the nearer side of each
// disconnect that are connected to it with the disconnects open.
func trunkOf(p *rules.Pass, poles []*circuit.Edge, root circuit.Node) map[circuit.Node]bool {
	conducts := func(e *circuit.Edge, _ circuit.Node) (float64, bool) {
		return 1, e.Conducts() && !slices.Contains(poles, e)
	}
	trunk := map[circuit.Node]bool{}
	for _, pole := range poles {
		var nearer []*circuit.Edge
		reached := false
		for _, side := range []circuit.Node{pole.From, pole.To} {
			way := p.Circuit.Path(root, side, conducts)
			if (way != nil || root == side) && (!reached || len(way) < len(nearer)) {
				nearer, reached = way, true
			}
		}
		if !reached {
			continue
		}
		at := root
		trunk[at] = true
		for _, e := range nearer {
			at = e.Other(at)
			trunk[at] = true
		}
	}
	return trunk
}

// through is the end of a sentence that names what something goes through.
func through(ids []string) string {
	if len(ids) == 0 {
		return ""
	}
	return ", through " + strings.Join(ids, ", ")
}

// pathOf is the path of a part or conductor.
func pathOf(spec *schema.Spec, id string) string {
	if part := spec.Part(id); part != nil {
		return part.Common().Path()
	}
	for conductor, c := range spec.Conductors() {
		if conductor == id {
			return c.Path()
		}
	}
	return id
}
