package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func belowBreakingMinimum() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-below-breaking-minimum",
		Family: family,
		Title:  "a partial-range fuse may melt at a current that it cannot interrupt",
		Why: "A semiconductor fuse is made for dead shorts. Between its rating and its minimum breaking current it melts, " +
			"but too slowly to extinguish its own arc, and burns in its holder.",
		Relation: "the least short-circuit current behind the fuse >= min_breaking_A, and no current in use is between rated_A and min_breaking_A " +
			"for long enough to melt the fuse",
		Source:   "IEC 60269-4 (class aR); IEC 60364-4-43, 432.3 and 433.3.1",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.battery_resistance_max_factor", "policy.terminal_max_C"},
		Vital:    []string{"fuses.min_breaking_A", "fuses.opening", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a full-range fuse (gR, gG), or one with a lower minimum breaking current",
		Example: rules.Example{Vehicle: "badger", Subject: "drive_fuse", Edits: []rules.Edit{
			{Path: "fuses.drive_fuse.min_breaking_A", Value: "4000"}}},
		Check: checkBelowBreakingMinimum,
	}
}

func checkBelowBreakingMinimum(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		l, _ := calc.FuseClass(f.Class).Loading()
		if l.PartialRange || f.MinBreakingA.Known {
			evalBreakingMinimum(s, c, f)
		}
		return true
	})
}

func evalBreakingMinimum(s *supply, c *rules.Check, f *schema.Fuse) {
	path := f.Path() + ".min_breaking_A"
	if !f.MinBreakingA.Known {
		c.NotChecked(path, "%s: its minimum breaking current is not declared", f.ID)
		return
	}
	if demand.CycleUnknown(c, s.Spec) || s.inPhase(c, f) {
		return
	}
	list, unsettled := s.stresses(f)
	if unsettled != nil {
		c.Unsettled(unsettled, f.ID)
		return
	}
	least := f.MinBreakingA.Value
	if x, ok := s.between(f, list, least); ok {
		c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
		c.Given("I_bmin", "minimum breaking current of "+f.ID, least, "A", path)
		x.steps(c.Working)
		c.In(x.mode, "")
		c.Fix("use a full-range fuse (gR, gG), or one with a minimum breaking current of at most %s A", rules.Figure(roundDown(x.amperes)))
		c.Fail("%s: %s A %s%s, above its rating of %s A and below its minimum breaking current of %s A", f.ID, rules.Figure(x.amperes), x.what,
			x.duration(), rules.Figure(f.RatedA), rules.Figure(least))
		return
	}
	far, ok := s.leastBehind(f.ID)
	if !ok {
		c.NotChecked("a battery that feeds "+f.ID, "%s: no short-circuit current behind it can be computed", f.ID)
		return
	}
	if err := s.explainLeast(c.Working, far); err != nil {
		unknown(c, err)
		return
	}
	c.Given("I_bmin", "minimum breaking current of "+f.ID, least, "A", path)
	c.In("", "short circuit at the far end of "+far.Conductor+", pack empty, aged and cold, copper hot")
	c.Related(s.Spec.Conductor(far.Conductor).Path(), "the least short circuit is at its far end")
	c.Fix("use a full-range fuse (gR, gG), or one with a minimum breaking current of at most %s A", rules.Figure(roundDown(far.leastA)))
	c.AtLeast(rules.Amperes(least), rules.Amperes(far.leastA), "%s: fault current %s A at the far end of %s, minimum breaking current %s A",
		f.ID, rules.Figure(far.leastA), far.Conductor, rules.Figure(least))
}

// between finds a current in use above the rating and below the minimum
// breaking current that lasts long enough to melt the fuse.
func (s *supply) between(f *schema.Fuse, list []stress, least float64) (stress, bool) {
	curve, err := s.curve(f.ID)
	for _, x := range list {
		if x.amperes <= f.RatedA || x.amperes >= least {
			continue
		}
		melts := 0.0
		if err == nil {
			melts = curve.MinTime(x.amperes)
		}
		if math.IsInf(x.seconds, 1) || x.seconds >= melts {
			return x, true
		}
	}
	return stress{}, false
}

// leastBehind finds the least short circuit that a fuse has to clear: at the
// far end of a conductor with no other fuse between.
func (s *supply) leastBehind(id string) (current, bool) {
	var least current
	for conductor := range s.Spec.Conductors() {
		if !s.behind[id][conductor] || s.sense[conductor] {
			continue
		}
		for _, seen := range s.currents(conductor) {
			own, closer := current{}, false
			for _, x := range seen {
				if x.fuse == id && !x.limited {
					own = x
				}
				closer = closer || x.fuse != id && s.downstream(x.fuse, id)
			}
			if own.leastA > 0 && !closer && (least.leastA == 0 || own.leastA < least.leastA) {
				least = own
			}
		}
	}
	return least, least.leastA > 0
}
