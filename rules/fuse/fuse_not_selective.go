package fuse

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func notSelective() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-not-selective",
		Family: family,
		Title:  "a fuse may open together with the smaller one behind it, or before it",
		Why: "A short circuit in one branch then takes down everything: all lights for a chafed horn wire, the drive for a chafed charger lead. " +
			"It is also harder to find.",
		Relation: "at every current up to the short circuit behind the smaller fuse, its longest opening time <= 0.75 of the shortest of the one upstream " +
			"(beyond the curves: total I^2t <= 0.75 melting I^2t). Without curves: gG upstream of gG at least 1.6 times the rating, " +
			"vehicle fuses of one family 2.0 times; other pairs are not checked",
		Source:   "IEC 60269-1 (I^2t grading, 1.6); the factors 0.75 and 2.0 are common practice",
		Level:    rules.Note,
		Varies:   "warning on the road where the upstream fuse feeds the main contactor, or critical loads of another function than those of the branch, such as the headlamp beside a branch of brake lamps",
		Required: 1,
		Policy:   []string{"policy.battery_resistance_min_factor"},
		Fix:      "use a smaller or faster fuse in the branch, or a larger one upstream",
		Example: rules.Example{Vehicle: "heron", Subject: "horn_fuse", Edits: []rules.Edit{
			{Path: "fuses.horn_fuse.rated_A", Value: "20"}}},
		Check: checkNotSelective,
	}
}

func checkNotSelective(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		before := s.before(f.ID)
		if before == "" || p.Spec.Fuses[before] == nil {
			return true // no other fuse is in the way; breaker-slower-than-fuse compares it with a breaker
		}
		if p.Spec.Vehicle.OnRoad() && s.feedsOtherVital(before, f.ID) {
			c.Level(rules.Warning)
		}
		c.Related("fuses."+before, "the upstream fuse")
		if slices.ContainsFunc(p.Circuit.EarthedFuses(), func(x circuit.EarthedFuse) bool { return x.Fuse.Part == f.ID }) {
			c.Because("fuse-in-earthed-pole", f.ID) // in its own pole it is one with that of the branch
		}
		evalSelectivity(s, c, f, s.fuseOf(before))
		return true
	})
}

// before is the nearest fuse before another, "" if there is none.
func (s *supply) before(id string) string {
	best := ""
	for _, other := range s.alsoBefore(id) {
		if s.downstream(id, other) && (best == "" || len(s.behind[other]) < len(s.behind[best])) {
			best = other
		}
	}
	return best
}

// alsoBefore lists the fuses that protect some conductor of a fuse, by id: who
// protects all of them is among these.
func (s *supply) alsoBefore(id string) []string {
	var ids []string
	for conductor := range s.behind[id] {
		for _, g := range s.guards[conductor] {
			ids = append(ids, g.Fuses...)
		}
		break
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// feedsOtherVital reports whether a road vehicle loses with a fuse what it does not lose
// with the one behind it anyway: a main contactor, or a critical function of which
// that one feeds no part.
func (s *supply) feedsOtherVital(id, behind string) bool {
	lost := map[string]bool{} // with the one behind, by function
	for load, l := range s.Spec.Loads {
		if l.Critical && s.guardsTerminal(behind, load+".pos") {
			lost[cmp.Or(l.Function, load)] = true
		}
	}
	for load, l := range s.Spec.Loads {
		if l.Critical && !lost[cmp.Or(l.Function, load)] && s.guardsTerminal(id, load+".pos") {
			return true
		}
	}
	for k := range s.Spec.Contactors {
		if s.guardsTerminal(id, k+".coil_pos") && !s.guardsTerminal(behind, k+".coil_pos") {
			return true
		}
	}
	return false
}

func evalSelectivity(s *supply, c *rules.Check, f, before *schema.Fuse) {
	w, proven, compared := s.grading(f, before)
	switch {
	case compared && (w.headroom >= 1 || proven):
		s.sayGrading(c, f, before, w)
	default:
		evalByRating(s, c, f, before)
	}
}

// grading is where two curves in series come closest.
type grading struct {
	currentA float64
	behindS  float64 // by then the fuse behind has opened
	beforeS  float64 // until then the fuse before has not
	headroom float64
	fault    short
}

// grading compares the curves up to the greatest short circuit. Proven says
// that both are declared where they come closest, so that a failure
// is one; bounds of a standard can only prove that a pair grades.
func (s *supply) grading(f, before *schema.Fuse) (worst grading, proven, ok bool) {
	behind, err := s.curve(f.ID)
	ahead, err2 := s.curve(before.ID)
	x, fed := s.greatestShort(f.ID, s.feeds(f.ID), false)
	if err != nil || err2 != nil || !fed {
		return grading{}, false, false
	}
	opens, known := behind.MustOpenA()
	if _, resistance := s.Circuit.ResistanceKnown(s.Circuit.Edge(f.ID).From); !known || !resistance || x.amperes() < opens {
		return grading{}, false, false
	}
	worst.headroom = math.Inf(1)
	const steps = 200
	for i := range steps + 1 {
		a := opens * math.Pow(x.amperes()/opens, float64(i)/steps)
		g := grading{currentA: a, behindS: behind.MaxTime(a), beforeS: ahead.MinTime(a), fault: x}
		if g.headroom = calc.SelectiveI2tFactor * g.beforeS / g.behindS; g.headroom < worst.headroom {
			worst = g
		}
	}
	_, melts := ahead.MeltingI2t()
	declared := (ahead.MinSource() == "declared" || before.MeltingI2t.Known && melts) &&
		(behind.MaxSource() == "declared" || f.TotalI2t.Known)
	return worst, declared, true
}

func (s *supply) sayGrading(c *rules.Check, f, before *schema.Fuse, g grading) {
	if _, err := s.steps(c.Working, g.fault, f.ID); err != nil {
		unknown(c, err)
		return
	}
	c.In("", demand.Full("").String())
	behind, _ := s.curve(f.ID)
	ahead, _ := s.curve(before.ID)
	if math.IsInf(g.headroom, 1) {
		c.Holds(true, "%s: %s upstream does not open in any short circuit behind it", f.ID, before.ID)
		return
	}
	c.Solved("I", "current at which the two come closest", g.currentA, "A", "compared at every current up to the short circuit")
	t := c.Standard("t_2", "longest opening time of "+f.ID+" there", g.behindS, "s", sourceOf(behind.MaxSource(), f.ID))
	limit := c.Standard("t_1", "shortest opening time of "+before.ID+" there", g.beforeS, "s", sourceOf(ahead.MinSource(), before.ID))
	may := c.Calc("t_may", "time by which "+f.ID+" has to be open", "0.75 t_1", "0.75 * "+rules.Term(limit), calc.SelectiveI2tFactor*limit, "s")
	c.Fix("use a fuse for %s that opens within %s at %s A, or one for %s that does not open within %s there",
		f.ID, seconds(roundDown(may)), rules.Figure(g.currentA), before.ID, seconds(t/calc.SelectiveI2tFactor))
	c.AtMost(rules.Quantity{Value: t, Unit: "s"}, rules.Quantity{Value: may, Unit: "s"}, "%s: takes up to %s to open at %s A, allowed %s; %s upstream may open after %s",
		f.ID, seconds(t), rules.Figure(g.currentA), seconds(may), before.ID, seconds(limit))
}

// evalByRating grades a pair of one family by their ratings.
func evalByRating(s *supply, c *rules.Check, f, before *schema.Fuse) {
	factor, source := gradingFactor(f.Class, before.Class)
	if factor == 0 {
		missing := before.Path() + ".opening.min"
		if f.Opening == nil || len(f.Opening.Max) == 0 {
			missing = f.Path() + ".opening.max"
		}
		c.NotChecked(missing, "%s (class %s) behind %s (class %s): only their curves tell whether they are selective", f.ID, f.Class, before.ID, before.Class)
		return
	}
	n := c.Given("I_n2", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	have := c.Given("I_n1", "rated current of "+before.ID, before.RatedA, "A", before.Path()+".rated_A")
	k := c.Standard("r", "ratio of ratings that is selective in this family", factor, "", source)
	need := c.Calc("I_need", "upstream rating that is selective", "r I_n2", rules.Term(k)+" * "+rules.Term(n), k*n, "A")
	if have < need*(1-1e-9) {
		c.Fix("%s", s.graded(f, before, have/k, need))
	}
	c.AtLeast(rules.Amperes(need), rules.Amperes(have), "%s (%s A): the upstream fuse %s is rated %s A, selective from %s A", f.ID, rules.Figure(n), before.ID, rules.Figure(have), rules.Figure(need))
}

// graded proposes ratings that are selective: of the branch at most, of the fuse
// upstream at least, where one carries what flows in use and suits what is behind it.
func (s *supply) graded(f, before *schema.Fuse, mostA, leastA float64) string {
	var ways []string
	if down, ok := s.smaller(f, mostA); ok {
		ways = append(ways, fmt.Sprintf("use a fuse of %s A for %s", rules.Figure(down), f.ID))
	}
	if up, ok := calc.NextRatingUp(calc.FuseClass(before.Class), leastA); ok && up <= s.openedA(before) && s.matchesController(before, up) {
		text := fmt.Sprintf("use a fuse of %s A for %s", rules.Figure(up), before.ID)
		if grow := s.growsWith(rerated(before, up)); len(grow) > 0 {
			text += ", and with it " + rules.And(grow)
		}
		ways = append(ways, text)
	}
	if ways == nil {
		return fmt.Sprintf("use a faster fuse for %s or a slower one for %s: no rating of them is selective and suits the rest", f.ID, before.ID)
	}
	return strings.Join(ways, "; or ")
}

// gradingFactor is the ratio of ratings at which two fuses of one family grade,
// 0 for a pair of which ratings tell nothing.
func gradingFactor(class, before string) (factor float64, source string) {
	blade := func(c string) bool { return c == "blade" || c == "blade-high-current" }
	switch {
	case class == "gG" && before == "gG":
		return calc.SelectiveGGRatio, "IEC 60269-1"
	case blade(class) && blade(before), class == "bolt-down" && before == "bolt-down":
		return 2, "common practice"
	}
	return 0, ""
}
