package converter

import (
	"errors"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func auxiliaryRechargeHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "auxiliary-recharge-high",
		Family: family,
		Title:  "recharging a flat battery overloads the way from the converter to it",
		Why: "2 V over 22 mOhm ask for 91 A: a flat battery takes all that the converter's limit gives, for as long as it takes to fill it. A fuse chosen for the few " +
			"amperes of floating opens then, and the house network loses its reserve; a thin wire is hot for an hour.",
		Relation: "the current into a flat battery, of all converters at their limits and nothing else on, <= what each fuse and each conductor on the way carries: " +
			"a fuse its continuous current, or its rating in that air where capacity_Ah is filled in less than 3 h; a conductor its ampacity",
		Source:   "circuit theory; loading of fuses by class (NFPA 70 Article 100 and 210.20(A), IEC 60269, common practice in vehicles); ampacity as in conductor-overloaded",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.auxiliary-recharge-high", "policy.converter_limit_factor"},
		Fix:      "use a larger fuse with wires to match, or a converter with a lower current limit",
		Example: rules.Example{Vehicle: "heron", Subject: "aux", Edits: []rules.Edit{
			{Path: "wires.w_aux_house.size", Value: `"0.75 mm2"`}}},
		Check: checkRecharge,
	}
}

func checkRecharge(p *rules.Pass) {
	for _, f := range floats(p) {
		first := f.SeriesString[0]
		c := p.Subject(f.Name(), first.Path)
		switch {
		case p.Unsound(c, first.ID+".neg", first.ID+".pos"):
		case len(p.Spec.Modes) == 0:
			c.NotChecked("modes", "no mode says when %s is charged", f.Name())
		case p.Spec.Batteries[first.ID].Role != "auxiliary":
			// What flows into a traction battery is what the modes say.
		default:
			f.checkRecharge(c, p)
		}
	}
}

// recharge is what a flat battery draws in a mode.
type recharge struct {
	solution *circuit.Solution
	a        float64
	hours    float64 // that it takes at most; infinite where that is not known
}

// fuse is what a fuse carries for that time.
func (r recharge) fuse(f *schema.Fuse, ratedA, ambientC float64) (calc.Line, error) {
	if r.hours < calc.ContinuousLoadH {
		return calc.HeldFuse(calc.FuseClass(f.Class), ratedA, ambientC)
	}
	return calc.ContinuousFuse(calc.FuseClass(f.Class), ratedA, ambientC)
}

// sizedFor is the smallest standard rating of a fuse's class for a current in A.
func (r recharge) sizedFor(p *rules.Pass, f *schema.Fuse, a float64) (float64, bool) {
	for _, rated := range calc.StandardRatings(calc.FuseClass(f.Class)) {
		if limit, err := r.fuse(f, rated, capacity.AirAt(p, &f.Base, nil).C()); err == nil && limit.Value >= a {
			return rated, true
		}
	}
	return 0, false
}

// recharging finds the mode in which a flat string takes most.
func (f floating) recharging(p *rules.Pass) (most recharge, err error) {
	id := f.SeriesString[0].ID
	for _, mode := range p.Circuit.Modes() {
		s := p.Circuit.Solve(demand.Recharging(mode))
		if err := settled(s, id); err != nil {
			return recharge{}, err
		}
		if a := s.Current(id); a > most.a*(1+1e-9) {
			most = recharge{solution: s, a: a}
		}
	}
	most.hours = math.Inf(1)
	for _, b := range f.SeriesString {
		if capacityAh := p.Spec.Batteries[b.ID].CapacityAh; capacityAh.Known && most.a > 0 {
			most.hours = min(most.hours, capacityAh.Value/most.a)
		}
	}
	return most, nil
}

// narrow is the fuse or conductor with the least headroom on the way of a recharge.
type narrow struct {
	id, path        string
	a, limitA, used float64
	fuse            bool
	limit           calc.Line // of a fuse
}

func (f floating) checkRecharge(c *rules.Check, p *rules.Pass) {
	most, err := f.recharging(p)
	if err != nil && unsettled(c, err) {
		return
	}
	if most.a < demand.LeastA {
		c.Holds(true, "no mode charges %s from a converter", f.Name())
		return
	}
	var worst narrow
	var unknown *rules.Missing
	for _, e := range p.Circuit.Edges {
		// What carries a tenth of it is not on its way, but beside it.
		if a := math.Abs(most.solution.Current(e.ID)); a > most.a/10 && f.onWay(p, e) {
			n, err := most.narrow(p, e, a)
			if err != nil {
				errors.As(err, &unknown)
			} else if n.used > worst.used {
				worst = n
			}
		}
	}
	k := most.solution.Case
	c.In(k.Mode, k.String())
	c.Solved("I_r", "current into "+f.Name()+" when flat", most.a, "A", inMode(k))
	if unknown != nil && worst.used*p.Required() <= 1 {
		c.NotChecked(unknown.Path, "%s: takes up to %s A when flat; %s", f.Name(), rules.Figure(most.a), unknown.What)
		return
	}
	if worst.id == "" {
		c.Holds(true, "%s: takes up to %s A when flat, through neither fuse nor wire", f.Name(), rules.Figure(most.a))
		return
	}
	worst.report(c, p, f, most)
}

// onWay reports whether an element is between the converters' outputs and the string:
// in the network of both, and not on the input side of a converter that shares its
// negative.
func (f floating) onWay(p *rules.Pass, e *circuit.Edge) bool {
	if e.Kind != circuit.FuseEdge && !e.IsConductor() {
		return false
	}
	pos := p.Circuit.MetalJoins(e.From, f.Pos())
	if pos {
		return true
	}
	return p.Circuit.MetalJoins(e.From, f.Neg())
}

// narrow holds a current in A against what a fuse or conductor carries for the time of
// the recharge.
func (r recharge) narrow(p *rules.Pass, e *circuit.Edge, a float64) (narrow, error) {
	n := narrow{id: e.ID, a: a}
	if e.Kind == circuit.FuseEdge {
		f := p.Spec.Fuses[e.Part]
		limit, err := r.fuse(f, f.RatedA, capacity.AirAt(p, &f.Base, nil).C())
		if err != nil {
			return n, &rules.Missing{Path: f.Path() + ".class", What: "what " + f.ID + " carries continuously depends on its class"}
		}
		n.path, n.fuse, n.limit, n.limitA = f.Path(), true, limit, limit.Value
	} else {
		c := p.Spec.Conductor(e.ID)
		rated, err := capacity.RateConductor(p, p.Subject(e.ID, c.Path()).Working, e.ID)
		if err != nil {
			return n, &rules.Missing{Path: c.Path(), What: "what " + e.ID + " carries is not known"}
		}
		n.path, n.limitA = rated.Path, rated.IzA
	}
	n.used = a / max(n.limitA, 1e-9)
	return n, nil
}

func (n narrow) report(c *rules.Check, p *rules.Pass, f floating, r recharge) {
	k := r.solution.Case
	a := c.Solved("I", "current of "+n.id+" then", n.a, "A", inMode(k))
	limit, how := n.limitA, "continuous"
	if n.fuse {
		limit, how = n.showFuse(c, p, f, r)
	} else {
		if rated, err := capacity.RateConductor(p, c.Working, n.id); err == nil {
			limit = rated.IzA
		}
		if a*p.Required() > limit {
			c.Because("limited-source-unprotected", n.id)
		}
		c.Fix("use %s for %s", wireFor(p, n.id, p.Required()*a), n.id)
	}
	c.Related(n.path, "the element with the least headroom")
	c.AtMost(rules.Amperes(a), rules.Amperes(limit), "%s: when flat it is recharged with %s A through %s, rated %s A %s",
		f.Name(), rules.Figure(a), n.id, rules.Figure(limit), how)
}

// showFuse adds what a fuse carries for the time of a recharge to the working, and
// returns it with words for how long that is.
func (n narrow) showFuse(c *rules.Check, p *rules.Pass, f floating, r recharge) (limit float64, how string) {
	fuse := p.Spec.Fuses[n.id]
	c.Fix("use a converter with a current limit of at most %s A", rules.Figure(rules.RoundDown(n.limitA/p.Required(), 0.1)))
	if up, ok := r.sizedFor(p, fuse, n.a*p.Required()); ok {
		c.Fix("use a fuse of %s A instead of %s A for %s, behind it wires with an ampacity and contacts with a rating of at least %[1]s A", rules.Figure(up), rules.Figure(fuse.RatedA), n.id)
	}
	if r.hours >= calc.ContinuousLoadH {
		limit, _ = bottleneck{id: n.id, path: n.path, fuse: fuse, limit: n.limit}.show(c, p) // its class is known
		return limit, "continuous"
	}
	loading, _ := calc.FuseClass(fuse.Class).Loading()
	for _, b := range f.SeriesString {
		if capacityAh := p.Spec.Batteries[b.ID].CapacityAh; capacityAh.Known {
			c.Given("Q_"+b.ID, "capacity of "+b.ID, capacityAh.Value, "Ah", b.Path+".capacity_Ah")
		}
	}
	c.Calc("t", "time to fill it, at most", "Q / I_r", "", r.hours, "h")
	c.Standard("f", "share of the rating for a load of less than 3 h", 1, "", "NFPA 70 Article 100")
	c.Given("I_n", "rating of "+n.id, fuse.RatedA, "A", n.path+".rated_A")
	capacity.AirAt(p, &fuse.Base, nil).Explain(c.Working)
	c.Standard("k", "loss of rating in hotter air", 100*loading.DeratingPerK, "%/K", loading.Source)
	return c.Line("I_c", "what "+n.id+" carries for that time", n.limit), "for " + rules.Figure(r.hours) + " h"
}
