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
// of fuses and of use require: what flows in use, a current in A at least, and what
// its fuses let through, in an overload and in a short circuit.
func (s *supply) size(rated *capacity.Conductor, atLeastA float64) (label string, ok bool) {
	if mean, known := demand.For(s.Pass).MeanA(rated.ID); known {
		atLeastA = max(atLeastA, mean)
	}
	return rated.ThinnestThat(s.Pass, func(c *capacity.Conductor) bool { return c.IzA >= atLeastA && s.protects(c) })
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

// smallerFor is the largest rating of a fuse's class, below its own, that protects
// a conductor and still carries what the fuse carries in use.
func (s *supply) smallerFor(f *schema.Fuse, rated *capacity.Conductor) (ratedA float64, ok bool) {
	for _, a := range slices.Backward(calc.StandardRatings(calc.FuseClass(f.Class))) {
		if a >= f.RatedA {
			continue
		}
		g := rerated(f, a)
		if rides, doubtful := s.rides(g); !rides || doubtful != "" {
			return 0, false
		}
		if s.trial(g).protects(rated) {
			return a, true
		}
	}
	return 0, false
}
