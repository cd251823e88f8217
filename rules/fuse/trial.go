package fuse

import (
	"maps"
	"slices"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// rerated is a fuse of another rating, of the same make: a declared curve in
// proportion, its integrals with the square.
func rerated(f *schema.Fuse, ratedA float64) *schema.Fuse {
	share := ratedA / f.RatedA
	g := *f
	g.RatedA = ratedA
	g.MeltingI2t.Value *= share * share
	g.TotalI2t.Value *= share * share
	g.MinBreakingA.Value *= share
	if f.Opening != nil {
		scaled := func(points []schema.CurrentTime) []schema.CurrentTime {
			out := slices.Clone(points)
			for i := range out {
				out[i].CurrentA *= share
			}
			return out
		}
		g.Opening = &schema.Opening{Min: scaled(f.Opening.Min), Max: scaled(f.Opening.Max)}
	}
	return &g
}

// ofClass is a fuse of another class and rating, of which no more is known than
// the class promises.
func ofClass(f *schema.Fuse, class calc.FuseClass, ratedA float64) *schema.Fuse {
	g := *f
	g.Class, g.RatedA = string(class), ratedA
	g.Opening, g.Holder = nil, nil
	g.MeltingI2t, g.TotalI2t, g.MinBreakingA = schema.Number{}, schema.Number{}, schema.Number{}
	return &g
}

// rides reports whether a fuse in the place of the one with its id would withstand
// what that carries in use, repeatedly, without opening. Doubtful is the path of
// the duration of a peak that it would not withstand for good.
func (s *supply) rides(g *schema.Fuse) (ok bool, doubtful string) {
	list, unsettled := s.stresses(s.fuseOf(g.ID))
	curve, err := capacity.Curve(g)
	if unsettled != nil || err != nil {
		return false, ""
	}
	worst, doubtful := worstContinuous(g, list)
	if worst.limitA > 0 && s.asked("fuse-overloaded")*worst.effective > worst.limitA*(1+1e-9) {
		return false, doubtful
	}
	for _, x := range list {
		limit := newRide(g, curve, x).limitA
		switch repeated := x.every > 0 && !x.continuous(); {
		case x.missing != "" && s.asked("fuse-opens-in-use")*x.amperes > limit:
			doubtful = x.missing
		case x.missing != "":
		case s.asked("fuse-opens-in-use")*x.amperes > limit, repeated && s.asked("fuse-fatigued")*x.amperes > withstandsRepeatedly(g, curve, x):
			return false, doubtful
		}
	}
	return true, doubtful
}

// asked is the headroom that the policy asks for of a rule that a fix has to pass
// as well; by default all these ask for 1.
func (s *supply) asked(rule string) float64 {
	if r, ok := s.Spec.Policy.Required[rule]; ok {
		return r
	}
	return 1
}

// trial is the vehicle with another fuse in the place of the one with its id, to
// see what the other rules would say of a fix. What flows in use, and in a short
// circuit, is the same.
func (s *supply) trial(g *schema.Fuse) *supply {
	pass, spec, facts := *s.Pass, *s.Spec, *s.facts
	spec.Fuses = maps.Clone(spec.Fuses)
	spec.Fuses[g.ID] = g
	pass.Spec = &spec
	facts.curves = maps.Clone(facts.curves)
	delete(facts.curves, g.ID)
	facts.alone, facts.branched = map[*circuit.Guard]coordination{}, map[branchKey]coordination{}
	facts.coordinated, facts.failing, facts.gravest = map[string]coordination{}, map[string]bool{}, map[string]string{}
	facts.hopes = nil
	facts.ends, facts.tapped = map[string]circuit.Most{}, nil
	return &supply{Pass: &pass, facts: &facts}
}

// protects reports whether a conductor, rated as one of another size, would have no
// finding for overload, damage or energy; what cannot be computed is none.
func (s *supply) protects(rated *capacity.Conductor) bool {
	id := rated.ID
	k := s.coordination(id)
	defer func() { s.coordinated[id] = k }()
	as := k
	as.rated = rated
	s.coordinated[id] = as
	if k.applies && k.err == nil && k.by == "" && k.partial == "" {
		suffices := rated.IzA >= s.asked("fuse-above-ampacity")*k.totalA*(1-1e-9)
		if s.isTap(id, as) {
			return true
		}
		if !suffices {
			return false
		}
	}
	all := s.currents(id)
	if len(all) == 0 || greatestOf(all).mostA <= rated.IzA || s.knownBatteries(id) != nil {
		return true
	}
	damage, err := s.replicas.Damage(rated, s.Subject(id, id).Working)
	if err != nil {
		return false
	}
	if worst, err := s.worstRace(all, damage, id); err == nil && worst.Margin < s.asked("fuse-slower-than-damage") && !s.uncertain(worst.current, worst.CurrentA) {
		return false
	}
	e, err := s.worstEnergy(id)
	return err != nil || e == nil || !e.cleared || s.asked("fuse-withstand-short")*e.i2t <= damage.WithstandI2t() || s.uncertain(e.current, e.atA)
}

// uncertain reports whether what several fuses in parallel, or a curve that is not known
// or ends before a current, leave open is no finding.
func (s *supply) uncertain(x current, currentA float64) bool {
	return s.parallelFuses(x.loop, x.fuse) != nil || slices.ContainsFunc(x.fuses.ids, func(id string) bool {
		_, err := s.curve(id)
		return err != nil || s.bounded(id, currentA)
	})
}

// clears reports whether a short circuit at the far end of a conductor would be
// cleared in time.
func (s *supply) clears(rated *capacity.Conductor) (clearing, bool) {
	all := s.currents(rated.ID)
	if len(all) == 0 || greatestOf(all).mostA <= rated.IzA || s.knownBatteries(rated.ID) != nil {
		return clearing{}, true
	}
	worst, err := s.worstClearing(all)
	if err != nil || worst.leastA >= s.asked("fuse-far-fault-slow")*worst.needA || s.uncertain(worst.current, worst.leastA) {
		return clearing{}, true
	}
	return worst, s.isTap(rated.ID, s.coordination(rated.ID))
}
