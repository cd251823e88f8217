package fuse

import (
	"slices"

	"example.org/headroom/rules/internal/circuit"
)

// weakness is how badly a fuse suits a conductor, to tell which of several
// carries the finding.
type weakness struct {
	stub     bool // see [supply.weakFeeder]
	headroom float64
	metres   float64
}

func (s *supply) weakness(id string, headroom float64) weakness {
	return weakness{stub: s.weakFeeder(id) != "", headroom: headroom, metres: s.metres(id)}
}

// graver reports whether a weakness is the one to name rather than another: a
// run rather than a stub that it feeds, then the one with less headroom, then
// the longer one.
func (x weakness) graver(than weakness) bool {
	const alike = 1e-9
	switch {
	case x.stub != than.stub:
		return than.stub
	case x.headroom < than.headroom*(1-alike):
		return true
	case x.headroom > than.headroom*(1+alike):
		return false
	}
	return x.metres > than.metres*(1+alike)
}

// weakFeeder names a conductor that its fuse does not suit and that feeds this
// one, if this one is so short that it would need no protection of its own if
// the other were sound: what is wrong with it then follows from the other. It is ""
// otherwise.
func (s *supply) weakFeeder(id string) string {
	if s.metres(id) > s.allowedM(id)*(1+1e-9) {
		return ""
	}
	for _, g := range s.guards[id] {
		for _, v := range s.Circuit.Around(g.Near, closedParts) {
			for _, e := range s.Circuit.EdgesAt(v) {
				if e.IsConductor() && e.ID != id && s.overloadFails(e.ID) && s.leadsTo(e.ID, g, v) {
					return e.ID
				}
			}
		}
	}
	return ""
}

// closedParts passes contacts, switches but breakers and shunts.
func closedParts(e *circuit.Edge, _ circuit.Node) bool {
	return e.Conducts() && !e.IsConductor() && !e.Protects()
}

// leadsTo reports whether a conductor brings the current of a guard's source to
// a node.
func (s *supply) leadsTo(id string, g *circuit.Guard, v circuit.Node) bool {
	return slices.ContainsFunc(s.guards[id], func(x *circuit.Guard) bool {
		return x.Source.ID == g.Source.ID && x.Side == g.Side && x.Far == v
	})
}

// follows names what a verdict on a conductor follows from, if it is a finding.
func (s *supply) follows(id string, headroom float64) [2]string {
	if headroom >= s.Required() {
		return [2]string{}
	}
	return s.cause(id)
}

// cause names the finding that others on a conductor follow from: that its
// fuse, or that of the run that feeds it, is too large, on the conductor where
// this is gravest. It is empty if both are protected from overload.
func (s *supply) cause(id string) [2]string {
	if !s.overloadFails(id) {
		if id = s.weakFeeder(id); id == "" {
			return [2]string{}
		}
	}
	fuse := s.coordination(id).main(s)
	return [2]string{"fuse-above-ampacity", s.gravestOf(fuse)}
}

// gravestOf is, of the conductors that a fuse is too large for, the one with the
// gravest finding.
func (s *supply) gravestOf(fuse string) string {
	worst, ok := s.gravest[fuse]
	if ok {
		return worst
	}
	var gravest weakness
	for other := range s.Spec.Conductors() {
		if len(s.guards[other]) == 0 || !s.overloadFails(other) || s.coordination(other).main(s) != fuse {
			continue
		}
		if x := s.weakness(other, s.overloadHeadroom(other)); worst == "" || x.graver(gravest) {
			worst, gravest = other, x
		}
	}
	s.gravest[fuse] = worst
	return worst
}

// overloadFails reports whether fuse-above-ampacity finds a conductor's fuse
// too large.
func (s *supply) overloadFails(id string) bool {
	fails, ok := s.failing[id]
	if !ok {
		fails = s.findOverloadFails(id)
		s.failing[id] = fails
	}
	return fails
}

func (s *supply) findOverloadFails(id string) bool {
	if s.sense[id] {
		return false
	}
	k := s.coordination(id)
	if !k.fails() {
		return false
	}
	return !s.isTap(id, k)
}

func (s *supply) overloadHeadroom(id string) float64 {
	k := s.coordination(id)
	if k.partial != "" {
		return 0
	}
	return ratio(k.rated.IzA, k.totalA)
}
