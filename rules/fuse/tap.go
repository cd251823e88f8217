package fuse

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// tap is the longest run from the last conductor that its fuse protects, or
// from the fuse, to the far end of one that it does not: over the sources whose
// current the conductor would not withstand continuously. Where it withstands each of
// them by itself, it is over those that nothing but a fuse limits, or over all.
func (s *supply) tap(id string) circuit.Run {
	guards := slices.DeleteFunc(slices.Clone(s.guards[id]), func(g *circuit.Guard) bool { return s.withstands(id, g) })
	if len(guards) == 0 {
		guards = slices.DeleteFunc(slices.Clone(s.guards[id]), func(g *circuit.Guard) bool { return s.limitsItself(id, g) })
	}
	if len(guards) == 0 {
		guards = s.guards[id]
	}
	var longest circuit.Run
	for _, g := range guards {
		r := s.runBefore(g).And(s.own(id))
		longest = circuit.Run{M: max(longest.M, r.M), BareM: max(longest.BareM, r.BareM)}
	}
	return longest
}

// withstands reports whether a conductor withstands all that one source sends it.
func (s *supply) withstands(id string, g *circuit.Guard) bool {
	if s.limitsItself(id, g) {
		return true
	}
	k := s.bound([]*circuit.Guard{g}, id)
	k.rated = s.coordination(id).rated
	return k.suffices()
}

// limitsItself reports whether a source, such as a charger, gives no more than a
// conductor withstands.
func (s *supply) limitsItself(id string, g *circuit.Guard) bool {
	return g.Source.LimitA > 0 && g.Source.LimitA <= s.coordination(id).rated.IzA
}

// short reports whether a run needs no protection of its own: it is within the
// fuse distance of covered conductors, and what is bare of it within the short
// one.
func (s *supply) short(r circuit.Run) bool {
	policy := s.Spec.Policy
	return r.M <= max(policy.FuseDistanceSheathedM, policy.FuseDistanceM)*(1+1e-9) && r.BareM <= policy.FuseDistanceM*(1+1e-9)
}

// own is the run of one conductor.
func (s *supply) own(id string) circuit.Run {
	r := circuit.Run{M: s.metres(id)}
	if !s.Circuit.Covered(id) {
		r.BareM = r.M
	}
	return r
}

// runBefore is the run between the near end of a conductor and the last adequate
// one before it, or its fuse, against the current. It looks no further than any
// run may be.
func (s *supply) runBefore(g *circuit.Guard) circuit.Run {
	way := func(e *circuit.Edge, v circuit.Node) (circuit.Run, bool) {
		switch {
		case e.ID == g.Conductor || e.Protects() || !e.Conducts():
			return circuit.Run{}, false
		case e.IsConductor():
			return s.own(e.ID), s.leadsTo(e.ID, g, v)
		}
		return circuit.Run{}, true
	}
	r, ok := s.Circuit.ShortestRun(g.Near, way, func(v circuit.Node, r circuit.Run) bool { return !s.short(r) || s.served(v, g) })
	if !ok {
		return circuit.Run{M: math.Inf(1)}
	}
	return r
}

// served reports whether an adequate conductor of the same source, the source
// itself or a fuse on the way to it feeds a node.
func (s *supply) served(v circuit.Node, g *circuit.Guard) bool {
	if v == g.Source.Pos || v == g.Source.Neg {
		return true
	}
	for _, e := range s.Circuit.EdgesAt(v) {
		if e.Protects() && slices.Contains(g.Fuses, e.Part) {
			return true
		}
		if !e.IsConductor() || e.ID == g.Conductor || !s.leadsTo(e.ID, g, v) {
			continue
		}
		if k := s.coordination(e.ID); k.protected() || k.by != "" {
			return true
		}
	}
	return false
}

// metres is the length of a conductor.
func (s *supply) metres(id string) float64 {
	if w, ok := s.Spec.Wires[id]; ok {
		return w.LengthM
	}
	return s.Spec.Busbars[id].LengthMM / 1000
}

// shortTap reports whether a conductor that no fuse before it protects is a tap,
// and if so gives that verdict; see [supply.isTap].
func (s *supply) shortTap(c *rules.Check, id string) bool {
	if !s.isTap(id, s.coordination(id)) {
		return false
	}
	r := s.tap(id)
	c.Solved("l", "length from the last conductor that its fuse protects", r.M, "m", "shortest path along the conductors")
	if r.BareM < r.M {
		c.Default("l_max", "length allowed in a sheath or enclosure without protection of its own", s.Spec.Policy.FuseDistanceSheathedM, "m", "policy.fuse_distance_sheathed_m")
	}
	if r.BareM > 0 {
		c.Solved("l_bare", "of which bare", r.BareM, "m", "neither sheathed nor enclosed")
		c.Default("l_bare,max", "bare length allowed without protection of its own", s.Spec.Policy.FuseDistanceM, "m", "policy.fuse_distance_m")
	}
	ends := s.endsIn(id)
	c.Solved("I_tap", "greatest continuous current that it can carry", ends.A, "A", "sum of the limits of what it feeds")
	c.Holds(true, "%s is a tap of %s m, short enough to need no fuse of its own: it ends in %s", id, rules.Figure(r.M), s.sayEnds(ends))
	return true
}

// isTap reports whether a conductor is a tap that needs no protection of its own:
// it is within the fuse distance, and it ends in a fuse or in consumers that pass no
// more than it carries. A conductor in the path of a controller is none, however
// short: the distance is that to the device that protects it (33 CFR 183.455), and
// there is none.
func (s *supply) isTap(id string, k coordination) bool {
	return (k.applies && (k.err == nil || k.unsure) || k.fails()) && !k.protected() && !s.throttled(id, k) && s.short(s.tap(id)) && s.endsIn(id).A <= k.rated.IzA*(1+1e-9)
}

// endsIn is the most that can flow through a conductor for the sake of what it
// feeds: the fuses and the consumers at its end, or the fuses before it.
func (s *supply) endsIn(id string) circuit.Most {
	most, ok := s.ends[id]
	if !ok {
		if s.tapped == nil {
			s.tapped = s.Circuit.Bounds(s.tapPasses)
		}
		most = s.tapped.Through(s.Circuit.Edge(id))
		s.ends[id] = most
	}
	return most
}

// tapPasses is passes as the end of a tap: a fuse counts with the ampacity that its
// protection requires. What a controller draws is set by its software and limits
// nothing unless a fuse says by overload_protection_by that it does.
func (s *supply) tapPasses(e *circuit.Edge, from circuit.Node) float64 {
	switch {
	case e.Protects():
		a, err := s.overloadA(e.Part)
		if err != nil {
			return math.Inf(1)
		}
		return a
	case e.Kind == circuit.ControllerEdge && e.ID == e.Part && from == e.From:
		return math.Inf(1)
	}
	return s.passes(e, from)
}

// sayEnds names what a tap ends in.
func (s *supply) sayEnds(most circuit.Most) string {
	if len(most.By) == 0 {
		return "nothing that draws a current"
	}
	return s.sayMost(most)
}

// throttled reports whether a fuse at the far end of a run without branches
// lets through more than the ampacity of the run.
func (s *supply) throttled(id string, k coordination) bool {
	for _, g := range s.guards[id] {
		if series := s.alongRun(g); series != "" {
			if a, err := s.overloadA(series); err == nil && a > k.rated.IzA {
				return true
			}
		}
	}
	return false
}
