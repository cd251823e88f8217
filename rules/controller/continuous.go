package controller

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// steady is a current in A that goes on for hours, and whose it is.
type steady struct {
	who     string
	a       float64
	explain func(c *rules.Check) float64
}

// checkContinuous reports what may be drawn continuously where that is more than the
// batteries are rated for, and whether it did. What is not stated is left to other
// checks: the currents of the modes are held against the same rating.
func (d drive) checkContinuous(c *rules.Check, p *rules.Pass) bool {
	if !d.BatteryContinuousA.Known {
		return false
	}
	all := append([]steady{steadyDrive(d.Controller)}, d.steadyBeside(p)...)
	var drawn float64
	for _, x := range all {
		drawn += x.a
	}
	weakest := supplier{}
	for _, s := range d.strings {
		own, path, missing := capacity.LeastOf(s, p.Spec, "continuous_A", func(b *schema.Battery) schema.Number { return b.ContinuousA })
		if missing != "" {
			return false
		}
		share := p.Circuit.Share(d.strings, s)
		if weakest.name == "" || own/share < weakest.allA {
			weakest = supplier{name: s.Name(), path: path, ownA: own, allA: own / share, share: share}
		}
	}
	if drawn*p.Required() <= weakest.allA {
		return false
	}
	var terms, names []string
	for _, x := range all {
		terms = append(terms, rules.Term(x.explain(c)))
		names = append(names, x.who)
	}
	if len(terms) > 1 {
		c.Calc("I_all", "all of them continuously", "sum", strings.Join(terms, " + "), drawn, "A")
	}
	c.Given("I_c", "continuous current of "+weakest.name, weakest.ownA, "A", weakest.path)
	if weakest.share < 1 {
		c.Solved("s", "share of "+weakest.name+" among the packs in parallel", weakest.share, "", "by their typical resistances")
		c.Calc("I_lim", "what they can supply together", "I_c / s", rules.Term(weakest.ownA)+" / "+rules.Term(weakest.share), weakest.allA, "A")
	}
	for _, k := range d.beside(p) {
		if k < d.ID {
			c.Because(p.Rule.ID, k)
		}
	}
	c.Related(weakest.path, "what the battery can supply")
	fix := "use a battery rated for at least " + rules.Figure(rules.RoundUp(drawn*p.Required()*weakest.share, 1)) + " A continuous"
	if left := rules.RoundDown(weakest.allA/p.Required()-(drawn-all[0].a), 1); left > 0 {
		fix = "set the continuous battery-side limit of " + d.ID + " to at most " + rules.Figure(left) + " A, or " + fix
	}
	c.Fix("%s", fix)
	c.AtMost(rules.Amperes(drawn), rules.Amperes(weakest.allA), "%s may draw %s A continuously, %s can supply %s A continuous",
		strings.Join(names, " and "), rules.Figure(drawn), weakest.name, rules.Figure(weakest.allA))
	return true
}

func steadyDrive(k *schema.Controller) steady {
	return steady{k.ID, k.BatteryContinuousA.Value, func(c *rules.Check) float64 {
		return c.Given("I_"+k.ID, "continuous battery-side current of "+k.ID, k.BatteryContinuousA.Value, "A", k.Path()+".battery_continuous_A")
	}}
}

// steadyBeside lists what the other controllers and the converters on the same
// batteries may draw continuously.
func (d drive) steadyBeside(p *rules.Pass) (out []steady) {
	for _, id := range d.beside(p) {
		if k := p.Spec.Controllers[id]; k.BatteryContinuousA.Known {
			out = append(out, steadyDrive(k))
		}
	}
	for id, v := range schema.Sorted(p.Spec.Converters) {
		fed := false
		for _, s := range p.Circuit.StringsFeeding(id + ".in") {
			fed = fed || s.Has(d.strings[0][0].ID)
		}
		if v.Spare || !fed {
			continue
		}
		out = append(out, steadyConverter(p, v, d.strings))
	}
	return out
}

// steadyConverter is the input current of a converter at its continuous output, with
// the batteries empty.
func steadyConverter(p *rules.Pass, v *schema.Converter, list []circuit.SeriesString) steady {
	least := list[0].V(p.Spec, circuit.Lowest)
	for _, s := range list {
		least = min(least, s.V(p.Spec, circuit.Lowest))
	}
	least = max(least, v.Input.MinV)
	eta := v.EfficiencyPercent.Or(p.Spec.Policy.ConverterEfficiency)
	in := calc.InputCurrent(v.Output.NominalV, v.Output.ContinuousA, eta, "V_min", least)
	return steady{v.ID, in.Value, func(c *rules.Check) float64 {
		c.Given("I_o", "continuous output current of "+v.ID, v.Output.ContinuousA, "A", v.Path()+".output.continuous_A")
		return c.Line("I_"+v.ID, "input current of "+v.ID+" then, the batteries empty", in)
	}}
}
