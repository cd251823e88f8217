package fuse

import (
	"math"
	"slices"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// parallelConductors lists the conductors in parallel with one from end to end, of the same
// size and length, and the part of the current that it carries. One device may
// protect all of them, and counts with the share of each. Source: IEC
// 60364-4-43, 433.4.1, from memory.
func (s *supply) parallelConductors(id string) (beside []string, share float64) {
	e := s.Circuit.Edge(id)
	ohm := func(id string) float64 { return s.Circuit.ConductorResistance(id, s.Spec.Policy.TerminalMaxC) }
	all := 1 / ohm(id)
	for _, x := range s.Circuit.Parallel(e) {
		if x.Kind != circuit.WireEdge || e.Kind != circuit.WireEdge {
			continue
		}
		if w, v := s.Spec.Wires[x.ID], s.Spec.Wires[id]; w.Size == v.Size && math.Abs(w.LengthM-v.LengthM) <= unlikeLength*v.LengthM {
			beside, all = append(beside, x.ID), all+1/ohm(x.ID)
		}
	}
	if beside == nil {
		return nil, 1
	}
	return beside, 1 / ohm(id) / all
}

// returnShare is the part of what a group of guards lets through that a return carries
// beside other ways home, such as a second strap on the chassis. The whole of it may
// enter at the metalwork, at a fault there; at the end of a branch no more than the
// branch lets through. Each divides by the resistances, and all are added up.
func (s *supply) returnShare(group []*circuit.Guard, id string, totalA float64) (share float64, beside []string) {
	e := s.Circuit.Edge(id)
	i := slices.IndexFunc(group, func(g *circuit.Guard) bool { return g.Source.IsBattery() })
	if i < 0 || group[i].Side != circuit.Negative || totalA == 0 {
		return 1, nil
	}
	if beside = s.Circuit.Beside(e); beside == nil {
		return 1, nil
	}
	home := group[i].Source
	carried := 0.0
	if frame, ok := s.Circuit.Node(schema.Chassis); ok {
		part, ok := s.Circuit.ReturnShare(e, home, frame)
		if !ok {
			return 1, nil
		}
		carried = part * totalA
	}
	branches := map[[2]string]float64{} // what each device adds
	for _, g := range group {
		for _, l := range s.loops(g) {
			own := s.branch(&l)
			if !own.applies || own.err != nil || own.partial != "" {
				return 1, nil
			}
			for _, back := range l.back {
				part, ok := s.Circuit.GreatestReturnShare(e, home, back)
				if !ok {
					return 1, nil
				}
				for _, d := range own.devices {
					branches[d.is()] = max(branches[d.is()], part*d.amperes)
				}
			}
		}
	}
	for _, a := range branches {
		carried += a
	}
	return min(1, carried/totalA), beside
}
