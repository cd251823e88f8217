package conductor

import (
	"errors"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/thermal"
)

func limitedSourceUnprotected() *rules.Rule {
	return &rules.Rule{
		ID:     "limited-source-unprotected",
		Family: family,
		Title:  "the ampacity of a conductor without a fuse is below what its converter or charger can supply",
		Why: "A converter in current limit feeds a short circuit or a stalled motor without end, " +
			"and no fuse opens. A thin wire on a large converter glows.",
		Relation: "a conductor with no fuse between it and a converter or charger has an ampacity of at least what that can supply: I_z >= limit_A (without one peak_A, or continuous_A times " +
			"policy.converter_limit_factor); of several in parallel the sum",
		Source:   "IEC 60364-4-43, 436",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.converter_limit_factor", "policy.ampacity", "policy.terminal_max_C"},
		Vital:    []string{"wires.insulation"},
		Fix:      "put a fuse at the source end of the conductor, or use a conductor with an ampacity of at least the source's limit",
		Example: rules.Example{Vehicle: "mole", Subject: "w_converter_out", Edits: []rules.Edit{
			{Path: "wires.w_converter_out.size", Value: `"0.5 mm2"`}}},
		Check: checkLimitedSources,
	}
}

func checkLimitedSources(p *rules.Pass) {
	guards := p.Circuit.Guards()
	for id, conductor := range p.Spec.Conductors() {
		if conductor.Spare {
			continue
		}
		limited, bare := bareAgainst(guards[id])
		if len(limited) == 0 {
			continue
		}
		c := p.Subject(id, conductor.Path())
		if p.Unsound(c, conductor.From, conductor.To) {
			continue
		}
		evalLimited(c, p, id, limited, bare)
	}
}

// bareAgainst lists the limited sources that reach a conductor through no fuse,
// all of them from the end at which they give most, and tells whether a battery
// does too.
func bareAgainst(guards []circuit.Guard) (limited []circuit.Guard, battery bool) {
	sum := map[circuit.Node]float64{}
	var most circuit.Node
	for _, g := range guards {
		switch {
		case !g.Exposed || g.Inside.Breaks() || len(g.Fuses) > 0:
		case g.Source.IsBattery():
			battery = battery || !g.WithinDistance()
		case g.Source.LimitA > 0:
			if sum[g.Near] += g.Source.LimitA; len(sum) == 1 || sum[g.Near] > sum[most] {
				most = g.Near
			}
		}
	}
	for _, g := range guards {
		if g.Exposed && len(g.Fuses) == 0 && !g.Source.IsBattery() && g.Source.LimitA > 0 && g.Near == most {
			limited = append(limited, g)
		}
	}
	return limited, battery
}

func evalLimited(c *rules.Check, p *rules.Pass, id string, limited []circuit.Guard, battery bool) {
	var give float64
	var from, numbers string
	for i, g := range limited {
		if i > 0 {
			from, numbers = from+" and ", numbers+" + "
		}
		from, numbers = from+g.Source.ID, numbers+rules.Term(g.Source.LimitA)
		give += explainLimit(c, p, g.Source)
	}
	if len(limited) > 1 {
		c.Calc("I_lim", "what they can supply together", "sum", numbers, give, "A")
	}
	r, err := capacity.RateConductor(p, c.Working, id)
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		c.NotChecked(missing.Path, "%s has no fuse towards %s, which can supply %s A; its ampacity is not known", id, from, rules.Figure(give))
		return
	}
	if err != nil {
		c.NotChecked(id, "the ampacity of %s cannot be computed: %v", id, err)
		return
	}
	iz := max(0, r.IzA)
	switch {
	case battery && give > iz:
		c.Because("conductor-unprotected", id)
	case give > iz && thermal.Overloaded(p, id):
		c.Because(overloadedID, id)
	}
	size := ""
	if s, ok := r.ThinnestFor(p, give); ok {
		size = " (" + s + ")"
	}
	c.Fix("put a fuse of at most %s A at the %s end of %s, or use a conductor with an ampacity of at least %s A%s", rules.Figure(math.Floor(iz)), from, id, rules.Figure(rules.RoundUp(give, 0.1)), size)
	c.AtMost(rules.Amperes(give), rules.Amperes(iz), "%s (ampacity %s A) has no fuse towards %s, which can supply %s A continuously", id, rules.Figure(iz), from, rules.Figure(give))
}

// explainLimit adds the most that a converter or charger can supply.
func explainLimit(c *rules.Check, p *rules.Pass, s circuit.Source) float64 {
	what := "greatest output current of " + s.ID
	if k, ok := p.Spec.Converters[s.ID]; ok && s.LimitFrom == "policy.converter_limit_factor" {
		i := c.Given("I_c", "continuous output current of "+s.ID, k.Output.ContinuousA, "A", k.Path()+".output.continuous_A")
		f := c.Default("f_lim", "current limit over continuous current, where no limit is given", p.Spec.Policy.ConverterLimitFactor, "", s.LimitFrom)
		return c.Calc("I_lim", what, "f_lim I_c", rules.Term(f)+" * "+rules.Term(i), s.LimitA, "A")
	}
	return c.Given("I_lim", what, s.LimitA, "A", s.LimitFrom)
}
