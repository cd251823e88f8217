package fuse

import (
	"fmt"
	"slices"

	"example.org/headroom/rules"
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

// smaller is the largest rating of a fuse's class up to a current in A that
// still carries what it carries in use.
func (s *supply) smaller(f *schema.Fuse, mostA float64) (ratedA float64, ok bool) {
	down, ok := calc.NextRatingDown(calc.FuseClass(f.Class), mostA)
	return down, ok && s.ridesAs(f, down)
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

// larger is the fix for a fuse that is too small in use: the least rating of its
// class from a current in A on that withstands it, and which conductors must grow
// with it; or several fuses, where no source would open that one.
func (s *supply) larger(f *schema.Fuse, leastA float64) (text string, ok bool) {
	class := calc.FuseClass(f.Class)
	up, ok := calc.NextRatingUp(class, leastA)
	for ok && !s.ridesAs(f, up) {
		up, ok = calc.NextRatingUp(class, up*(1+1e-6))
	}
	if !ok {
		return "", false
	}
	if most := s.openedA(f); up > most {
		return fmt.Sprintf("divide the loads of %s over several fuses: in a short circuit its only source opens none above %s A", f.ID, rules.Figure(rules.RoundDown(most, 0.1))), true
	}
	text = fmt.Sprintf("use a fuse of at least %s A for %s", rules.Figure(up), f.ID)
	if grow := s.tooThinFor(f, up); len(grow) > 0 {
		return text + " and enlarge " + andList(grow) + "; or divide the loads over two fuses", true
	}
	return text + ", which suits the conductors behind it; or divide the loads over two fuses", true
}

// tooThinFor lists the conductors that a fuse would no longer protect from
// overload at another rating, with the sizes that it would.
func (s *supply) tooThinFor(f *schema.Fuse, ratedA float64) []string {
	var out []string
	unit, err := s.overloadA(f.ID)
	if err != nil {
		return nil
	}
	for id := range schema.Sorted(s.behind[f.ID]) {
		k := s.coordination(id)
		relies := slices.ContainsFunc(k.devices, func(d device) bool { return d.fuse == f.ID })
		need := k.totalA + k.share*unit*(ratedA/f.RatedA-1)
		if !relies || k.err != nil || k.rated.IzA >= need*(1-1e-9) || s.short(s.tap(id)) {
			continue
		}
		if size, ok := s.size(k.rated, need); ok {
			out = append(out, fmt.Sprintf("%s to %s", id, size))
		} else {
			out = append(out, id)
		}
	}
	if most := 3; len(out) > most {
		out = append(out[:most], fmt.Sprintf("%d more", len(out)-most))
	}
	return out
}
