package converter

import (
	"errors"
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func inputOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-input-overloaded",
		Family: family,
		Title:  "the converter draws more at its input than its fuse and wires are rated for continuously",
		Why: "A converter draws constant power: at an empty pack its input current is highest. A fuse chosen at the nominal voltage " +
			"opens after hours at night, with lights and contactor on it.",
		Relation: "I_out V_out / (efficiency V_in,lowest, of a pack empty and at its greatest resistance) <= continuous current of the input fuse, and ampacity of the wires behind it; " +
			"I_out is the converter's limit where it may have to recharge an auxiliary battery, else its greatest continuous budget",
		Source: "energy balance; continuous load of fuses by class (NFPA 70 210.20(A), IEC 60269, common practice in vehicles)",
		Level:  rules.Error, Required: 1,
		Policy: []string{"policy.converter_efficiency_percent", "policy.converter_limit_factor", "policy.battery_resistance_max_factor"},
		Vital:  []string{"fuses.opening", "wires.insulation"},
		Fix:    "use the next larger input fuse, with wires to match",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "fuses.converter_fuse.rated_A", Value: "6"}}},
		Check: checkInputOverloaded,
	}
}

func checkInputOverloaded(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos", v.ID+".out_pos") {
			continue
		}
		lowest, ok, err := lowestInput(p, v.ID)
		if err != nil && unsettled(c, err) {
			continue
		}
		all, err := budgets(p, v)
		switch {
		case err != nil && unsettled(c, err):
		case !ok || len(all) == 0:
			c.NotChecked("a mode in which "+v.ID+" runs", "%s runs in no mode", v.ID)
		default:
			checkInputCurrent(c, p, v, lowest, all)
		}
	}
}

func checkInputCurrent(c *rules.Check, p *rules.Pass, v *schema.Converter, lowest inputV, all []budget) {
	weakest, err := weakestInput(p, v)
	var missing *rules.Missing
	switch {
	case errors.As(err, &missing):
		c.NotChecked(missing.Path, "%s: the rating of its input circuit is not known: %s", v.ID, missing.What)
		return
	case err != nil:
		c.NotChecked("what the input of "+v.ID+" may carry", "%v", err)
		return
	}
	current := showInputCurrent(c, p, v, lowest, all)
	c.In(lowest.mode, lowest.state.String())
	limit, err := weakest.show(c, p)
	if err != nil {
		c.NotChecked(weakest.path, "%v", err)
		return
	}
	if weakest.fuse != nil {
		c.Related(weakest.path, "its input fuse")
		if up, ok := fuseFor(weakest.fuse, p, current); ok {
			c.Fix("use a fuse of %s A instead of %s A for %s, behind it wires with an ampacity and contacts with a rating of at least %[1]s A", rules.Figure(up), rules.Figure(weakest.fuse.RatedA), weakest.fuse.ID)
		}
	} else {
		c.Related(weakest.path, "the weakest wire of its input circuit")
		c.Fix("use %s for %s", wireFor(p, weakest.id, p.Required()*current), weakest.id)
	}
	c.AtMost(rules.Amperes(current), rules.Amperes(limit), "%s: draws up to %s A at %s V, continuous limit of %s %s A",
		v.ID, rules.Figure(current), rules.Figure(lowest.v), weakest.id, rules.Figure(limit))
}

// wireFor is the size of a wire that carries a current in A in its place.
func wireFor(p *rules.Pass, id string, a float64) string {
	if rated, err := capacity.Derated(p, p.Subject(id, "").Working, id); err == nil {
		if size, ok := rated.ThinnestFor(p, a); ok {
			return "at least " + size
		}
	}
	return "a conductor with an ampacity of at least " + rules.Figure(rules.RoundUp(a, 0.1)) + " A"
}

// showInputCurrent computes the greatest lasting input current.
func showInputCurrent(c *rules.Check, p *rules.Pass, v *schema.Converter, lowest inputV, all []budget) float64 {
	var out float64
	if len(all[0].aux) > 0 {
		limit, from := p.Circuit.ConverterLimitA(v.ID)
		if o := v.Output; !o.LimitA.Known && o.PeakA.Known && o.PeakS.Known {
			limit, from = o.ContinuousA, v.Path()+".output.continuous_A" // its peak is over after peak_s
		}
		out = c.Default("I_o", "output current at its limit, which a flat auxiliary battery draws for long", limit, "A", from)
	} else if b, ok := worstContinuous(p, v, all); ok {
		out = b.show(c, true)
	} else {
		for _, b := range all {
			out = max(out, b.meanA)
		}
		c.Calc("I_o", "greatest mean output current of its modes", "", "", out, "A")
	}
	volt := c.Given("V_o", "output voltage of "+v.ID, v.Output.NominalV, "V", v.Path()+".output.nominal_V")
	eta := c.Or("eta", "efficiency of "+v.ID, v.EfficiencyPercent, "%", v.Path()+".efficiency_percent", p.Spec.Policy.ConverterEfficiency, "policy.converter_efficiency_percent")
	showInput(c, "V_in", "lowest voltage at the input of "+v.ID, lowest)
	in := c.Line("I_in", "input current", calc.InputCurrent(volt, out, eta, "V_in", lowest.v))
	if most := v.Input.MaxA; most.Known && most.Value < in {
		c.Given("I_max", "highest input current of "+v.ID, most.Value, "A", v.Path()+".input.max_A")
		return c.Calc("I", "input current within that limit", "least of I_in and I_max", "", most.Value, "A")
	}
	return in
}

// bottleneck is the fuse or the wire of an input with the lowest rating.
type bottleneck struct {
	id, path string
	fuse     *schema.Fuse
	limitA   float64
	limit    calc.Line // that of a fuse
}

// weakestInput finds it among the fuse of the input's own branch and the wires
// which that fuse protects.
func weakestInput(p *rules.Pass, v *schema.Converter) (bottleneck, error) {
	var least bottleneck
	take := func(b bottleneck) {
		if least.id == "" || b.limitA < least.limitA {
			least = b
		}
	}
	fuse := branchFuse(p.Circuit, p.Circuit.Edge(v.ID+".in"))
	var unrated error
	if f := p.Spec.Fuses[fuse]; f != nil {
		limit, err := calc.ContinuousFuse(calc.FuseClass(f.Class), f.RatedA, capacity.AirAt(p, &f.Base, nil).C())
		if err != nil {
			return least, &rules.Missing{Path: f.Path() + ".class", What: "a class of fuse with published rules of loading"}
		}
		take(bottleneck{id: f.ID, path: f.Path(), fuse: f, limitA: limit.Value, limit: limit})
	}
	for id, c := range p.Spec.Conductors() {
		if !feedsAlone(p.Circuit, id, fuse, v.ID) {
			continue
		}
		// The working of the one that counts is shown later.
		r, err := capacity.RateConductor(p, p.Subject(id, c.Path()).Working, id)
		if err != nil {
			unrated = err
			continue
		}
		take(bottleneck{id: id, path: r.Path, limitA: r.IzA})
	}
	if least.id == "" && unrated == nil {
		unrated = fmt.Errorf("no fuse and no wire is known to feed the input of %s", v.ID)
	}
	return least, unrated
}

// branchFuse is the smallest fuse that protects the conductors at an input.
func branchFuse(n *circuit.Network, in *circuit.Edge) string {
	for _, node := range []circuit.Node{in.From, in.To} {
		for _, e := range n.EdgesAt(node) {
			for _, g := range n.Guards()[e.ID] {
				if fuse := g.Fuse(); fuse != "" {
					return fuse
				}
			}
		}
	}
	return ""
}

// feedsAlone reports whether a conductor ends on the converter's input or lies
// behind the fuse of its branch.
func feedsAlone(n *circuit.Network, id, fuse, converter string) bool {
	e := n.Edge(id)
	if e == nil {
		return false
	}
	in := n.Edge(converter + ".in")
	if e.From == in.From || e.To == in.From {
		return true
	}
	for _, g := range n.Guards()[id] {
		if fuse != "" && g.Fuse() == fuse && g.Source.IsBattery() && g.Side == circuit.Positive {
			return true
		}
	}
	return false
}

// show adds the steps of the limit and returns it.
func (b bottleneck) show(c *rules.Check, p *rules.Pass) (float64, error) {
	if b.fuse == nil {
		r, err := capacity.RateConductor(p, c.Working, b.id)
		if err != nil {
			return 0, err
		}
		return r.IzA, nil
	}
	f := b.fuse
	class := calc.FuseClass(f.Class)
	loading, _ := class.Loading() // known, or weakestInput had said so
	c.Given("I_n", "rating of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	c.Standard("f", "share of it for a continuous load in class "+f.Class, loading.ContinuousFactor, "", loading.Source)
	capacity.AirAt(p, &f.Base, nil).Explain(c.Working)
	c.Standard("k", "loss of rating in hotter air", 100*loading.DeratingPerK, "%/K", loading.Source)
	return c.Line("I_c", "continuous current of "+f.ID, b.limit), nil
}

// fuseFor is the smallest standard rating of the fuse's class that carries a
// current continuously in its place.
func fuseFor(f *schema.Fuse, p *rules.Pass, currentA float64) (float64, bool) {
	class := calc.FuseClass(f.Class)
	for _, rated := range calc.StandardRatings(class) {
		limit, err := calc.ContinuousFuse(class, rated, capacity.AirAt(p, &f.Base, nil).C())
		if err == nil && limit.Value >= currentA {
			return rated, true
		}
	}
	return 0, false
}
