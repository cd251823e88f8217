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
			"but too slowly to put out its own arc: it becomes a heater in its holder.",
		Relation: "the least short circuit behind the fuse >= min_breaking_A, and no current of use lies between rated_A and min_breaking_A " +
			"for as long as it takes to melt the fuse",
		Source:   "IEC 60269-4 (class aR); IEC 60364-4-43, 432.3 and 433.3.1",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.battery_resistance_max_factor", "policy.terminal_max_C"},
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
			judgeBreakingMinimum(s, c, f)
		}
		return true
	})
}

func judgeBreakingMinimum(s *supply, c *rules.Check, f *schema.Fuse) {
	path := f.Path() + ".min_breaking_A"
	if !f.MinBreakingA.Known {
		c.NotChecked(path, "needs the least current that %s interrupts", f.ID)
		return
	}
	if demand.CycleUnknown(c, s.Spec) {
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
		c.Given("I_bmin", "least current that "+f.ID+" interrupts", least, "A", path)
		x.steps(c.Working)
		c.In(x.mode, "")
		c.Fail("%s sees %s A %s%s, between its rating of %s A and the %s A that it takes to interrupt", f.ID, rules.Figure(x.amperes), x.what,
			x.duration(), rules.Figure(f.RatedA), rules.Figure(least))
		return
	}
	far, ok := s.leastBehind(f.ID)
	if !ok {
		c.NotChecked("a battery that feeds "+f.ID, "no short circuit behind %s can be reckoned", f.ID)
		return
	}
	if err := s.workLeast(c.Working, far); err != nil {
		unknown(c, err)
		return
	}
	c.Given("I_bmin", "least current that "+f.ID+" interrupts", least, "A", path)
	c.In("", "short circuit at the far end of "+far.Conductor+", pack empty, aged and cold, copper hot")
	c.Related(s.Spec.Conductor(far.Conductor).Path(), "the least short circuit is at its far end")
	c.AtLeast(rules.Amperes(least), rules.Amperes(far.leastA), "a short circuit at the far end of %s drives %s A; %s interrupts from %s A on",
		far.Conductor, rules.Figure(far.leastA), f.ID, rules.Figure(least))
}

// between finds a current of use above the rating and below the minimum
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
