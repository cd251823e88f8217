package controller

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/rating"
	"example.org/headroom/schema"
)

func regenerationHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "regeneration-high",
		Family: family,
		Title:  "the controller feeds back more than its batteries take",
		Why: "Braking from speed pushes the controller's whole regeneration into the pack at once. Cells that cannot take it plate metal and lose capacity " +
			"permanently, or the pack's cut-off opens and the brake is gone with it.",
		Relation: "regen_A, or what a mode feeds back if that is more, <= charge_max_A of the batteries in parallel together",
		Source:   "data sheets; circuit theory",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.regeneration-high"},
		Fix:      "set the controller's regeneration to what the pack takes",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "controllers.drive.regen_A", Value: "60"}}},
		Check: checkRegenerationHigh,
	}
}

func checkRegenerationHigh(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		a, path := rating.Regeneration(p.Spec, d.Controller)
		if a == 0 {
			c.Holds(true, "%s feeds nothing back", d.ID)
			return
		}
		takes, missing := rating.Takes(p.Circuit, d.strings)
		if missing != "" {
			c.NotChecked(missing, "%s feeds back up to %s A; what the battery takes is not stated", d.ID, figure(a))
			return
		}
		c.Given("I_regen", "highest current fed back", a, "A", path)
		limit := d.workTakes(c, p, takes)
		c.Fix("set the regeneration of %s to at most %s A", d.ID, figure(roundDown(takes)))
		c.AtMost(amperes(a), amperes(takes), "%s feeds back up to %s A; %s takes %s A", d.ID, figure(a), limit, figure(takes))
	})
}

// workTakes adds what the batteries take to the working and names them.
func (d drive) workTakes(c *rules.Check, p *rules.Pass, takes float64) (names string) {
	var list []string
	var limits, shares []string
	for _, s := range d.strings {
		own, path, _ := s.Least(p.Spec, "charge_max_A", func(b *schema.Battery) schema.Number { return b.ChargeMaxA })
		c.Related(path, "what the battery takes")
		c.Given("I_ch", "highest charging current of "+s.Name(), own, "A", path)
		list = append(list, s.Name())
		limits = append(limits, term(own))
		shares = append(shares, term(rating.Share(p.Circuit, d.strings, s)))
	}
	names = strings.Join(list, " with ")
	if len(list) > 1 {
		var terms []string
		for i := range limits {
			terms = append(terms, limits[i]+" / "+shares[i])
		}
		c.Calc("I_all", "what they take together, the first to reach its limit deciding", "min(I_ch / share by typical resistance)",
			"min("+strings.Join(terms, ", ")+")", takes, "A")
	}
	return names
}
