package battery

import "example.org/headroom/rules"

func parallelShareHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "parallel-share-high",
		Family: family,
		Title:  "packs in parallel do not share evenly, and one carries more than it is rated for",
		Why: "The pack with the lower resistance takes the larger part: the newer, the warmer, the one on the shorter cables. " +
			"Two packs of 100 A are not one of 200 A, and the one that is overloaded ages until it is the weaker of the two.",
		Relation: "the equivalent continuous current of the packs together times s' <= continuous_A (and the rating of an internal fuse), s' = s / (s + (1 - s) / (1 + spread)): " +
			"the share s by typical resistances, if all others have spread_percent more (30 % where that is not stated). Differences of open-circuit voltage are no part of it: in use the packs settle at one",
		Source:   "circuit theory; common practice for the spread",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.required.parallel-share-high"},
		Fix:      "draw less, use packs with a higher continuous current, or match them by measurement and state spread_percent",
		Example: rules.Example{Vehicle: "heron", Subject: "pack2", Edits: secondPack(`{"role": "traction", "chemistry": "NMC", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 28, "continuous_A": 33, "peak_A": 200, "peak_s": 60, "charge_max_A": 40, "connect_within_V": 1}`,
			rules.Edit{Path: "batteries.pack.continuous_A", Value: "60"})},
		Check: checkParallelShare,
	}
}

// secondPack are the edits that put a pack, as JSON, beside that of the heron, and others.
func secondPack(pack string, others ...rules.Edit) []rules.Edit {
	return append(others,
		rules.Edit{Path: "batteries.pack2", Value: pack},
		rules.Edit{Path: "fuses.pack2_fuse", Value: `{"class": "bolt-down", "rated_A": 125, "rated_V_dc": 125, "breaking_A_dc": 10000}`},
		rules.Edit{Path: "wires.w_pack2_pos", Value: `{"from": "pack2.pos", "to": "pack2_fuse.a", "size": "50 mm2", "length_m": 0.15, "insulation": {"max_C": 105, "rated_V": 600}}`},
		rules.Edit{Path: "wires.w_pack2_fuse", Value: `{"from": "pack2_fuse.b", "to": "main.b", "size": "50 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`},
		rules.Edit{Path: "wires.w_pack2_neg", Value: `{"from": "pack2.neg", "to": "pack.neg", "size": "50 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`})
}

func checkParallelShare(p *rules.Pass) {
	eachBeside(p, func(x batteryState) float64 {
		limit, _, _ := x.ratedA()
		duty, _, _ := x.hottest(p, x.Currents, limit)
		return duty.EqA * x.uneven(p) / p.Circuit.Share(x.Parallel, x.Own) / max(limit, 1e-9)
	}, func(x batteryState, c *rules.Check, gravest string) { x.evalShare(c, p, gravest) })
}

func (x batteryState) evalShare(c *rules.Check, p *rules.Pass, gravest string) {
	limit, what, path := x.ratedA()
	duty, _, _ := x.hottest(p, x.Currents, limit)
	switch {
	case duty.EqA == 0:
		c.Holds(true, "%s carries no current in any mode", x.ID)
		return
	case limit == 0:
		c.NotChecked(x.Path()+".continuous_A", "%s: its continuous current is not stated", x.ID)
		return
	}
	c.In(duty.Mode.ID, duty.At.String())
	duty.Explain(c.Working, x.ID, tauS, "from memory")
	s := x.shareSteps(c, p)
	percent, from := x.spread(p)
	if from == "" {
		c.Default("spread", "by how much the resistances of the others may be higher", percent, "%", "common practice")
	} else {
		c.Given("spread", "by how much the resistances of the others may be higher", percent, "%", from)
	}
	uneven := c.Calc("s'", "its share then", "s / (s + (1 - s) / (1 + spread / 100))",
		rules.Term(s)+" / ("+rules.Term(s)+" + (1 - "+rules.Term(s)+") / (1 + "+rules.Term(percent)+" / 100))", x.uneven(p), "")
	a := c.Calc("I'", "what it carries then", "I s' / s", rules.Term(duty.EqA)+" * "+rules.Term(uneven)+" / "+rules.Term(s), duty.EqA*uneven/s, "A")
	c.Given("I_c", what, limit, "A", path)
	switch {
	case duty.EqA > limit:
		c.Because(batteryOverloadedID, x.ID)
	case gravest != x.ID && a*p.Required() > limit:
		c.Because(p.Rule.ID, gravest)
	}
	c.Fix("use packs rated for at least %s A continuous, or limit what is drawn to %s A on average", rules.Figure(rules.RoundUp(a*p.Required(), 1)), rules.Figure(rules.RoundDown(limit/p.Required()/uneven, 1)))
	c.AtMost(rules.Amperes(a), rules.Amperes(limit), "%s: %s A in mode %s where the packs beside it have %s %% more resistance, rated %s A continuous",
		x.ID, rules.Figure(a), duty.Mode.ID, rules.Figure(percent), rules.Figure(limit))
}
