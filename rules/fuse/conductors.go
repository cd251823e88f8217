package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/rating"
)

// verdict is the result of a rule on a conductor, held back until those of the
// other conductors of its fuse are known.
type verdict struct {
	check    *rules.Check
	id       string
	fuse     string
	headroom float64
	cause    string // rule whose finding on the same conductor this one follows from
	give     func()
}

// conductors applies a rule to every wired conductor that a fuse protects. One
// fuse that is too large for ten conductors is one weakness: the conductor that
// it threatens most carries the finding, the others follow from it. The rule
// either gives its verdict at once and returns nil, or leaves it to be given.
func (s *supply) conductors(judge func(c *rules.Check, id string) *verdict) {
	var held []*verdict
	for id, conductor := range s.Spec.Conductors() {
		if conductor.Spare || len(s.guards[id]) == 0 {
			continue
		}
		c := s.Subject(id, conductor.Path())
		if s.Unsound(c, conductor.From, conductor.To) {
			continue
		}
		if v := judge(c, id); v != nil {
			v.check, v.id = c, id
			held = append(held, v)
		}
	}
	need := s.Rule.Required
	if r, ok := s.Spec.Policy.Required[s.Rule.ID]; ok {
		need = r
	}
	gravest := map[string]*verdict{}
	for _, v := range held {
		if w, ok := gravest[v.fuse]; v.headroom < need && v.cause == "" && (!ok || v.headroom < w.headroom) {
			gravest[v.fuse] = v
		}
	}
	for _, v := range held {
		switch w := gravest[v.fuse]; {
		case v.headroom >= need:
		case v.cause != "":
			v.check.Because(v.cause, v.id)
		case w != v:
			v.check.Because(s.Rule.ID, w.id)
		}
		v.give()
	}
}

// cause names the rule whose finding on a conductor others follow from, "" if
// the conductor stands well against overload.
func (s *supply) cause(id string) string {
	k := s.coordination(id)
	if k.applies && k.err == nil && !k.carries() && k.by == "" {
		return "fuse-above-ampacity"
	}
	return ""
}

// ratio is a headroom, without end for a demand of nothing.
func ratio(capability, demand float64) float64 {
	if demand <= 0 {
		return 1e6
	}
	return min(1e6, capability/demand)
}

// rated is the rating of a conductor with its steps in the working of a check.
func (s *supply) rated(c *rules.Check, id string) (*rating.Conductor, error) {
	return rating.OfConductor(s.Pass, c.Working, id)
}
