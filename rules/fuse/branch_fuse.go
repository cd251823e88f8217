package fuse

import (
	"fmt"
	"maps"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// branchFuse is the fix for a branch that lacks a fuse: far below what the fuse before it
// lets through it needs one of its own, and no cable to be made thicker.
func (s *supply) branchFuse(k coordination, id string) (text string, ok bool) {
	if !s.lacksFuse(id) {
		return "", false
	}
	head, from := s.branchHead(id)
	used, _ := demand.For(s.Pass).MeanA(head)
	own, ok := calc.NextRatingDown(calc.ClassBlade, min(k.rated.IzA, s.coordination(head).rated.IzA))
	if !ok || used > bladeLoading*own {
		return "", false
	}
	text = fmt.Sprintf("fit a fuse of at most %s A at the supply end of %s", rules.Figure(own), head)
	if head != id {
		text += ", which feeds " + id
	}
	if from != "" {
		text += fmt.Sprintf(", within %s m of %s", rules.Figure(s.allowedM(head)), from)
	}
	return text, true
}

// allowedM is the length that a conductor may have before the fuse that protects it.
func (s *supply) allowedM(id string) float64 {
	if s.Circuit.Covered(id) {
		return s.Spec.Policy.FuseDistanceSheathedM
	}
	return s.Spec.Policy.FuseDistanceM
}

// lacksFuse reports whether a conductor is a branch without a fuse of its own that needs
// one, and is no tap.
func (s *supply) lacksFuse(id string) bool { return s.isThin(id) && s.overloadFails(id) }

// isThin reports whether a conductor carries so little beside what its fuse lets through
// that it is a branch, or a tap.
func (s *supply) isThin(id string) bool {
	const branch = 1. / 3
	k := s.coordination(id)
	outgoing := func(g *circuit.Guard) bool { return g.Side == circuit.Positive }
	return !s.sense[id] && k.fails() && len(k.devices) == 1 && k.devices[0].fuse != "" && k.rated.IzA < branch*k.totalA && slices.ContainsFunc(s.guards[id], outgoing)
}

// branchHead is the first conductor of the branch without a fuse that feeds one, and the
// terminal from which it is fed: a fuse further on would leave bare what is before it.
func (s *supply) branchHead(id string) (head, from string) {
	for _, g := range s.guards[id] {
		if g.Side != circuit.Positive {
			continue
		}
		if s.served(g.Near, g) {
			return id, s.nearTerminal(g)
		}
		branch := s.Circuit.Around(g.Near, func(e *circuit.Edge, v circuit.Node) bool {
			return !s.served(v, g) && (closedParts(e, v) || e.IsConductor() && s.isThin(e.ID))
		})
		for _, other := range slices.Sorted(maps.Keys(s.guards)) {
			if !s.isThin(other) {
				continue
			}
			for _, h := range s.guards[other] {
				if h.Source.ID == g.Source.ID && h.Side == g.Side && slices.Contains(branch, h.Near) && slices.Contains(branch, h.Far) && s.served(h.Near, h) {
					return other, s.nearTerminal(h)
				}
			}
		}
	}
	return id, ""
}

// nearTerminal is the terminal at the end of a conductor that is nearer to the source.
func (s *supply) nearTerminal(g *circuit.Guard) string {
	c := s.Spec.Conductor(g.Conductor)
	if e := s.Circuit.Edge(g.Conductor); e.From == g.Near {
		return c.From
	}
	return c.To
}

// bladeLoading is the share of its rating that a blade fuse carries continuously;
// see [calc.FuseClass.Loading].
const bladeLoading = 0.80
