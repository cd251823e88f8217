package controller

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func regenerationHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "regeneration-high",
		Family: family,
		Title:  "the controller feeds back more than the charging limit of its batteries",
		Why: "Braking from speed pushes the controller's whole regeneration into the pack at once. Cells that cannot take it plate metal and lose capacity " +
			"permanently, or the pack's cut-off opens and the brake is gone with it.",
		Relation: "regen_A, or what a mode feeds back if that is more, of all controllers on the same batteries <= charge_max_A of the batteries in parallel together; " +
			"charge_peak_A where the modes say that none of it lasts longer than charge_peak_s, and in the mean of all time no more than charge_max_A; " +
			"of a pack with a switch inside no more than bms.charge_A",
		Source:   "data sheets; circuit theory",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.regeneration-high"},
		Vital:    []string{"batteries.charge_max_A"},
		Fix:      "set the controller's regeneration to the charging limit of the pack, or below",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "controllers.drive.regen_A", Value: "60"}}},
		Check: checkRegenerationHigh,
	}
}

func checkRegenerationHigh(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		a, path := capacity.Regeneration(p.Spec, d.Controller)
		if a == 0 {
			c.Holds(true, "%s feeds nothing back", d.ID)
			return
		}
		burst := demand.Braking(p.Spec, append(d.beside(p), d.ID)...)
		limit, missing := capacity.ChargeLimit(p.Circuit, d.strings, burst)
		if missing != "" {
			c.NotChecked(missing, "%s: feeds back up to %s A; the charging limit of the battery is not stated", d.ID, rules.Figure(a))
			return
		}
		who, feed := d.ID, "feeds"
		terms := []string{rules.Term(c.Given("I_regen", "highest current fed back by "+d.ID, a, "A", path))}
		// All controllers of one pack may brake at once.
		for _, k := range d.beside(p) {
			if own, path := capacity.Regeneration(p.Spec, p.Spec.Controllers[k]); own > 0 {
				terms = append(terms, rules.Term(c.Given("I_"+k, "highest current fed back by "+k, own, "A", path)))
				who, feed, a = who+" and "+k, "feed", a+own
				if k < d.ID {
					c.Because(p.Rule.ID, k)
				}
			}
		}
		if len(terms) > 1 {
			c.Calc("I_all", "all of them braking at once", "sum", strings.Join(terms, " + "), a, "A")
			who += " together"
		}
		batteries := d.explainLimit(c, p, limit, burst)
		c.Fix("set the regeneration of %s to at most %s A", who, rules.Figure(rules.RoundDown(limit, 1)))
		c.AtMost(rules.Amperes(a), rules.Amperes(limit), "%s %s back up to %s A, charging limit of %s %s A", who, feed, rules.Figure(a), batteries, rules.Figure(limit))
	})
}

// beside lists the other controllers that the same batteries feed.
func (d drive) beside(p *rules.Pass) (ids []string) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if id == d.ID || k.Spare {
			continue
		}
		for _, s := range p.Circuit.StringsFeeding(id) {
			if s.Has(d.strings[0][0].ID) {
				ids = append(ids, id)
			}
		}
	}
	return ids
}

// explainCharge adds what a string takes in a burst, in A.
func explainCharge(c *rules.Check, p *rules.Pass, s circuit.SeriesString, burst capacity.Burst) float64 {
	own, path, _ := capacity.LeastCharge(s, p.Spec, burst)
	c.Related(path, "charging limit of the battery")
	if strings.HasSuffix(path, "."+capacity.SwitchCharge) {
		c.Because("bms-overloaded", strings.Split(path, ".")[1]) // if a mode does so
		return c.Given("I_ch", "what the switch in "+s.Name()+" lets into it", own, "A", path)
	}
	if !strings.HasSuffix(path, ".charge_max_A") {
		c.Solved("t", "longest time that it is fed back for at a time", burst.S, "s", "the modes and the cycle")
		return c.Given("I_ch", "charging current limit of "+s.Name()+" for as long", own, "A", path)
	}
	least, _, _ := capacity.LeastCharge(s, p.Spec, capacity.Burst{})
	c.Given("I_ch", "charging current limit of "+s.Name(), least, "A", path)
	if own > least {
		share := c.Solved("q", "share of the time that it is fed back in", burst.Share, "", "the modes and the cycle")
		c.Calc("I_ch", "with that in the mean of all time", "I_ch / q", rules.Term(least)+" / "+rules.Term(share), own, "A")
	}
	return own
}

// explainLimit adds the charging limit of the batteries to the working and names
// them.
func (d drive) explainLimit(c *rules.Check, p *rules.Pass, limit float64, burst capacity.Burst) (names string) {
	var list []string
	var limits, shares []string
	for _, s := range d.strings {
		own := explainCharge(c, p, s, burst)
		list = append(list, s.Name())
		limits = append(limits, rules.Term(own))
		shares = append(shares, rules.Term(p.Circuit.Share(d.strings, s)))
	}
	names = strings.Join(list, " with ")
	if len(list) > 1 {
		var terms []string
		for i := range limits {
			terms = append(terms, limits[i]+" / "+shares[i])
		}
		c.Calc("I_all", "charging current limit of all together, set by the first to reach its own", "min(I_ch / share by typical resistance)",
			"min("+strings.Join(terms, ", ")+")", limit, "A")
	}
	return names
}
