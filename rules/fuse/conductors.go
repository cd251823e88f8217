package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
)

// verdict is the result of a rule on a conductor, held back until those of the
// other conductors of its fuse are known.
type verdict struct {
	check    *rules.Check
	id       string
	fuse     string
	headroom float64
	cause    [2]string // rule and subject of a graver finding that this one follows from
	root     [2]string // that the finding follows from if it is the worst of its fuse
	give     func()
}

// conductors applies a rule to every wired conductor that a fuse protects. One
// fuse that is too large for ten conductors is one weakness: the worst of them,
// as [weakness.graver] has it, has the finding, the others follow from it.
// The rule either gives its verdict at once and returns nil, or leaves it to be given.
func (s *supply) conductors(eval func(c *rules.Check, id string) *verdict) {
	var held []*verdict
	for id, conductor := range s.Spec.Conductors() {
		if conductor.Spare || len(s.guards[id]) == 0 || s.sense[id] {
			continue
		}
		c := s.Subject(id, conductor.Path())
		if s.Unsound(c, conductor.From, conductor.To) {
			continue
		}
		if v := eval(c, id); v != nil {
			v.check, v.id = c, id
			held = append(held, v)
		}
	}
	need := s.Required()
	gravest := map[string]*verdict{}
	for _, v := range held {
		if w, ok := gravest[v.fuse]; v.headroom < need && v.cause[0] == "" && (!ok || s.weakness(v.id, v.headroom).graver(s.weakness(w.id, w.headroom))) {
			gravest[v.fuse] = v
		}
	}
	for _, v := range held {
		switch w := gravest[v.fuse]; {
		case v.headroom >= need:
		case s.shorted(v.id) != "":
			v.check.Because("battery-shorted", s.shorted(v.id))
		case v.cause[0] != "":
			v.check.Because(v.cause[0], v.cause[1])
		case w != v:
			v.check.Because(s.Rule.ID, w.id)
		case v.root[0] != "":
			v.check.Because(v.root[0], v.root[1])
		}
		v.give()
	}
}

// shorted is a battery that feeds a conductor and whose poles metal joins: which of them
// feeds it, and through which fuse, is then the question; "" if there is none.
func (s *supply) shorted(id string) string {
	for _, g := range s.guards[id] {
		if list := s.Circuit.StringOf(g.Source); g.Source.IsBattery() && s.Circuit.MetalJoins(list.Pos(), list.Neg()) {
			return list[0].ID
		}
	}
	return ""
}

// ratio is a headroom, unlimited for a demand of nothing.
func ratio(capability, demand float64) float64 {
	if demand <= 0 {
		return 1e6
	}
	return min(1e6, capability/demand)
}

// rated is the rating of a conductor with its steps in the working of a check.
func (s *supply) rated(c *rules.Check, id string) (*capacity.Conductor, error) {
	return capacity.RateConductor(s.Pass, c.Working, id)
}
