package bms

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func overloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "bms-overloaded",
		Family: family,
		Title:  "a mode draws or charges more than the switch in the pack lets through",
		Why: "The cells may give 300 A and the transistors before them 100 A. Half way up the hill the pack switches itself off, at once and without a warning: " +
			"no drive, no lights, no electric brake.",
		Relation: "current out of the battery in each mode <= discharge_A, or <= peak.A where the mode lasts no longer than peak.s; current into it <= charge_A",
		Source:   "data sheet of the battery management system",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.bms-overloaded"},
		Vital:    []string{"batteries.bms.discharge_A", "batteries.bms.charge_A"},
		Fix:      "use a pack whose switch lets more through, or lower the limits of the controller or charger",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.bms.discharge_A", Value: "40"}}},
		Check: checkOverloaded,
	}
}

func checkOverloaded(p *rules.Pass) {
	each(p, func(c *rules.Check, b *schema.Battery) {
		switch {
		case !b.BMS.DischargeA.Known:
			c.NotChecked(field(b, "discharge_A"), "%s: what its switch lets through is not given", b.ID)
			return
		case !b.BMS.ChargeA.Known:
			c.NotChecked(field(b, "charge_A"), "%s: what its switch lets into it is not given", b.ID)
			return
		}
		uses, ok := demand.For(p).Known(c, b.ID, demand.Element{p.Circuit.Edge(b.ID)})
		if !ok {
			return
		}
		worst := tightest(b, uses)
		c.In(worst.use.Mode.ID, worst.use.At.String())
		i := c.Solved("I", worst.way+" "+b.ID, worst.use.A, "A", "mode "+worst.use.Mode.ID+", "+worst.use.At.String())
		limit := c.Given("I_s", "what its switch lets through", worst.limit, "A", worst.path)
		c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: %s A %s it in mode %s, its switch lets %s A through", b.ID, rules.Figure(i), worst.way, worst.use.Mode.ID, rules.Figure(limit))
	})
}

// pressed is a current of the battery and its limit.
type pressed struct {
	use       demand.Use
	way, path string
	limit     float64
}

// tightest is the current that is nearest to its limit. The edge of a battery runs from
// its positive pole to the negative one, so that a current into it is positive.
func tightest(b *schema.Battery, uses []demand.Use) (worst pressed) {
	for i, u := range uses {
		x := pressed{u, "out of", field(b, "discharge_A"), b.BMS.DischargeA.Value}
		switch {
		case !u.Against && u.A > 0:
			x = pressed{u, "into", field(b, "charge_A"), b.BMS.ChargeA.Value}
		case b.BMS.Peak != nil && u.Mode.LastsS.Known && u.Mode.LastsS.Value <= b.BMS.Peak.S && b.BMS.Peak.A > x.limit && !circuit.Implied(u.Mode):
			x.path, x.limit = field(b, "peak.A"), b.BMS.Peak.A
		}
		if i == 0 || x.use.A*worst.limit > worst.use.A*x.limit {
			worst = x
		}
	}
	return worst
}
