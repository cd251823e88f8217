package fuse

import (
	"fmt"
	"slices"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// size is the thinnest usual size for a conductor that meets all that the rules
// of fuses and of use require: what its devices let through, unless it is a short
// tap or overload is left to a load; what flows in use; and a short circuit.
func (s *supply) size(rated *capacity.Conductor, atLeastA float64) (label string, ok bool) {
	id := rated.ID
	n := capacity.Need{CarryA: atLeastA}
	if mean, known := demand.For(s.Pass).MeanA(id); known {
		n.CarryA = max(n.CarryA, mean)
	}
	k := s.coordination(id)
	if k.applies && k.err == nil && k.partial == "" && k.by == "" && !s.short(s.tap(id)) {
		n.CarryA = max(n.CarryA, k.totalA)
	}
	if worst, err := s.worstEnergy(id); err == nil && worst != nil && worst.cleared {
		n.WithstandI2t = worst.i2t
	}
	return rated.Thinnest(s.Pass, n)
}

// movable says how a fuse at the far end of a conductor would protect it: at its
// supply end. It is "" where there is no single fuse, and for a fuse that protects
// against another battery: moved away from that one, it would leave its conductors bare.
func (s *supply) movable(id string) string {
	e := s.Circuit.Edge(id)
	for _, g := range s.feeders(id) {
		if fuse := s.Circuit.FuseAt(g.Far); fuse != "" && !slices.Contains(g.Fuses, fuse) && (g.Far == e.From || g.Far == e.To) && !s.protectsFromOther(fuse, g.Source.ID) {
			return fmt.Sprintf("move %s to the supply end of %s", fuse, id)
		}
	}
	return ""
}

// protectsFromOther reports whether a fuse breaks a loop through another battery than
// one.
func (s *supply) protectsFromOther(fuse, source string) bool {
	for id := range s.behind[fuse] {
		for _, g := range s.guards[id] {
			if g.Source.IsBattery() && g.Source.ID != source && slices.Contains(g.Fuses, fuse) {
				return true
			}
		}
	}
	return false
}

// smaller is the largest rating of a fuse's class up to a current in A, if a fuse
// of that rating still carries what this one carries in use.
func (s *supply) smaller(f *schema.Fuse, mostA float64) (ratedA float64, ok bool) {
	down, ok := calc.NextRatingDown(calc.FuseClass(f.Class), mostA)
	if !ok {
		return 0, false
	}
	ok, doubtful := s.rides(rerated(f, down))
	return down, ok && doubtful == ""
}

// protectsAs reports whether a fuse of another rating, its curve in proportion, opens
// before a conductor is damaged.
func (s *supply) protectsAs(f *schema.Fuse, ratedA float64, rated *capacity.Conductor) bool {
	own, err := s.curve(f.ID)
	if err != nil {
		return false
	}
	damage, err := s.replicas.Damage(rated, s.Subject(rated.ID, rated.ID).Working)
	if err != nil {
		return false
	}
	defer func() { s.curves[f.ID] = own }()
	s.curves[f.ID] = own.Scaled(ratedA)
	worst, err := s.worstRace(s.currents(rated.ID), damage, rated.ID)
	return err == nil && worst.Margin >= 1
}
