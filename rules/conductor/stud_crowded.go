package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func studCrowded() *rules.Rule {
	return &rules.Rule{
		ID:     "stud-crowded",
		Family: family,
		Title:  "too many lugs share one stud",
		Why: "Each lug of a stack settles a little, and one nut has to clamp them all. The lowest runs hot after one above it has been taken off " +
			"and put back, and a tall stack leaves too little thread for the nut.",
		Relation: "conductors that end on a stud <= policy.stud_lugs. The bars of a stud count as one lug",
		Source:   "small-craft practice (ABYC E-11: no more than four conductors on a stud), from memory",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.stud_lugs"},
		Fix:      "connect two studs with a bar and spread the lugs over both, the largest current lowest on each",
		Example: rules.Example{Vehicle: "heron", Subject: "minus_aux", Edits: []rules.Edit{
			{Path: "wires.w_charge_neg.to", Value: `"minus_aux.stud"`}, {Path: "wires.w_drive_minus.to", Value: `"minus_aux.stud"`}}},
		Check: checkCrowds,
	}
}

func checkCrowds(p *rules.Pass) {
	studs(p, func(c *rules.Check, s *schema.Stud, _ circuit.Node, lugs []*circuit.Edge) {
		// A bar that goes through several studs is one piece of metal, however many
		// stretches of it the specification tells apart.
		list, n, bar := "", 0, false
		for i, e := range lugs {
			if i > 0 {
				list += ", "
			}
			list += e.ID
			if e.Kind != circuit.BusbarEdge || !bar {
				n++
			}
			bar = bar || e.Kind == circuit.BusbarEdge
		}
		c.GivenText("lugs", "conductors that end on "+s.ID, list, s.Path())
		limit := c.Default("n_max", "highest permitted number of lugs on one stud", p.Spec.Policy.StudLugs, "", "policy.stud_lugs")
		c.AtMost(rules.Quantity{Value: float64(n), Unit: "lugs"}, rules.Quantity{Value: limit, Unit: "lugs"},
			"%s: %d lugs (%s), limit %s", s.ID, n, list, rules.Figure(limit))
	})
}
