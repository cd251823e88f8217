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
		Why: "Each lug of a stack settles a little, and the nut's pressure has to hold them all. The lowest runs hot when one above it has been taken off " +
			"and put back, and the thread left above the nut is what the next repair does without.",
		Relation: "conductors that end on a stud <= policy.stud_lugs; those of the largest current lie lowest. The bars of a stud count as one lug",
		Source:   "small-craft practice (ABYC E-11: no more than four conductors on a stud), from memory",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.stud_lugs"},
		Fix:      "join two studs by a bar and spread the lugs, the largest current lowest on each",
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
		limit := c.Default("n_max", "most lugs on one stud", p.Spec.Policy.StudLugs, "", "policy.stud_lugs")
		c.AtMost(rules.Quantity{Value: float64(n), Unit: "lugs"}, rules.Quantity{Value: limit, Unit: "lugs"},
			"%d lugs lie on %s: %s; %s is the most", n, s.ID, list, rules.Figure(limit))
	})
}
