package fuse

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
)

// tap is how far a conductor that its fuse does not protect runs from the last
// that it does, and how far it may: the fuse distance. Sources that the
// conductor bears, a charger for instance, do not count.
func (s *supply) tap(id string) (length, allowed float64, policy string) {
	allowed, policy = s.Spec.Policy.FuseDistanceSheathedM, "policy.fuse_distance_sheathed_m"
	unborne := slices.DeleteFunc(slices.Clone(s.guards[id]), func(g circuit.Guard) bool { return s.bears(id, g) })
	if len(unborne) == 0 {
		unborne = s.guards[id] // each by itself, but not together
	}
	for _, g := range unborne {
		run, covered := s.runBefore(g, allowed)
		if !covered || !s.covered(id) {
			allowed, policy = s.Spec.Policy.FuseDistanceM, "policy.fuse_distance_m"
		}
		length = max(length, run+s.metres(id))
	}
	return length, allowed, policy
}

// bears reports whether a conductor carries all that one source lets pass.
func (s *supply) bears(id string, g circuit.Guard) bool {
	k := s.bound([]circuit.Guard{g}, id)
	k.rated = s.coordination(id).rated
	return k.rated != nil && k.carries()
}

// runBefore is the length of conductor between the near end of a conductor and
// the last adequate one before it, or its fuse, and whether all of it is
// covered. It looks no further than a limit in m.
func (s *supply) runBefore(g circuit.Guard, limit float64) (length float64, covered bool) {
	type visit struct {
		node    circuit.Node
		length  float64
		covered bool
	}
	done := map[circuit.Node]bool{}
	queue := []visit{{g.Near, 0, true}}
	for len(queue) > 0 {
		next := 0
		for i, v := range queue {
			if v.length < queue[next].length {
				next = i
			}
		}
		v := queue[next]
		queue = append(queue[:next], queue[next+1:]...)
		if done[v.node] {
			continue
		}
		done[v.node] = true
		if v.length > limit || s.served(v.node, g) {
			return v.length, v.covered
		}
		for _, e := range s.Circuit.EdgesAt(v.node) {
			switch {
			case e.ID == g.Conductor || e.Kind == circuit.FuseEdge:
			case e.IsConductor():
				queue = append(queue, visit{e.Other(v.node), v.length + s.metres(e.ID), v.covered && s.covered(e.ID)})
			case e.Conducts():
				queue = append(queue, visit{e.Other(v.node), v.length, v.covered})
			}
		}
	}
	return math.Inf(1), false
}

// served reports whether an adequate conductor of the same source, the source
// itself or a fuse on the way to it feeds a node.
func (s *supply) served(v circuit.Node, g circuit.Guard) bool {
	if v == g.Source.Pos || v == g.Source.Neg {
		return true
	}
	for _, e := range s.Circuit.EdgesAt(v) {
		if e.Kind == circuit.FuseEdge && slices.Contains(g.Fuses, e.Part) {
			return true
		}
		if !e.IsConductor() || e.ID == g.Conductor {
			continue
		}
		for _, x := range s.guards[e.ID] {
			if x.Source.ID != g.Source.ID || x.Side != g.Side || x.Far != v {
				continue
			}
			if k := s.coordination(e.ID); k.protected() || k.by != "" {
				return true
			}
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

// covered reports whether a conductor runs in a sheath or an enclosure.
func (s *supply) covered(id string) bool {
	if w, ok := s.Spec.Wires[id]; ok {
		return w.Sheathed || w.Enclosed
	}
	return s.Spec.Busbars[id].Enclosed
}

// shortTap reports whether a conductor that no fuse before it protects is short
// enough to need none of its own, and if so gives that verdict. It is none if
// all that flows through it goes on through a fuse that is too large for it.
func (s *supply) shortTap(c *rules.Check, id string) bool {
	k := s.coordination(id)
	if !k.applies || k.err != nil || k.protected() || s.throttled(id, k) {
		return false
	}
	length, allowed, policy := s.tap(id)
	if length > allowed*(1+1e-9) {
		return false
	}
	c.Solved("l", "length from the last conductor that its fuse protects", length, "m", "shortest way over the conductors")
	c.Default("l_max", "length allowed without protection of its own", allowed, "m", policy)
	c.Holds(true, "%s is a tap of %s m, short enough to need no fuse of its own", id, rules.Figure(length))
	return true
}

// throttled reports whether a fuse at the far end of a run without branches
// lets more pass than the run carries.
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
