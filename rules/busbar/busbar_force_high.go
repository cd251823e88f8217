package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func busbarForceHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "busbar-force-high",
		Family: family,
		Title:  "a short circuit permanently bends a bus bar",
		Why: "Two bars side by side repel each other with the square of the current. Once bent, their clearances are no longer those that were measured, " +
			"and their supports are strained. At the currents of small vehicles this matters only for long thin bars close together.",
		Relation: "bending stress of the bar between its ends, F l / (8 Z) with F = 2e-7 I^2 l / a at the highest short-circuit current and Z = w d^2 / 6, <= 1.5 times the yield point. " +
			"A bar without spacing_mm has none beside it and is not checked",
		Source: "IEC 60865-1 (force, stress, factor of plasticity); yield points of half-hard copper (EN 13601) and conductor aluminium (EN 755-2) from memory. " +
			"Inductance and arc are neglected, which is on the safe side",
		Level:    rules.Note,
		Required: 1,
		Fix:      "add a support at mid-span, increase the distance between the bars, or use a thicker bar",
		Example: rules.Example{Vehicle: "badger", Subject: "b_plus_drive", Edits: []rules.Edit{
			{Path: "busbars.b_plus_drive.spacing_mm", Value: "8"}, {Path: "busbars.b_plus_drive.length_mm", Value: "600"}, {Path: "busbars.b_plus_drive.thickness_mm", Value: "1.5"}}},
		Check: checkForce,
	}
}

func checkForce(p *rules.Pass) {
	bars(p, func(c *rules.Check, l *demand.Demands, b *schema.Busbar) {
		if b.SpacingMM.Known {
			evalForce(c, p, b)
		}
	})
}

// greatestFault is the greatest current in A that a short circuit at the far end
// of a bar drives through it; missing is the path of a battery resistance that is
// not given.
func greatestFault(p *rules.Pass, id string) (a float64, missing string) {
	e := p.Circuit.Edge(id)
	for _, g := range p.Circuit.Guards()[id] {
		if !g.Source.IsBattery() {
			continue
		}
		if path, known := p.Circuit.ResistanceKnown(g.Source.Pos); !known {
			return 0, path
		}
		other := g.Source.Neg
		if g.Side == circuit.Negative {
			other = g.Source.Pos
		}
		if f, ok := p.Circuit.Fault(g.Far, other, circuit.FaultCase{Greatest: true}); ok {
			a = max(a, f.Through(e))
		}
	}
	return a, ""
}

func evalForce(c *rules.Check, p *rules.Pass, b *schema.Busbar) {
	fault, missing := greatestFault(p, b.ID)
	if missing != "" {
		c.NotChecked(missing, "the short-circuit current through %s is not known", b.ID)
		return
	}
	if fault == 0 {
		c.Holds(true, "%s carries no battery's short-circuit current", b.ID)
		return
	}
	bar := circuit.BarOf(b)
	i := c.Solved("I_k", "highest short-circuit current through "+b.ID, fault, "A", "batteries full and warm, copper cold; inductance and arc neglected")
	gap := c.Given("a", "distance to the other bar, centre to centre", b.SpacingMM.Value, "mm", b.Path()+".spacing_mm")
	length := c.Given("l", "length between its ends", b.LengthMM, "mm", b.Path()+".length_mm")
	pressing, err := calc.BarForce(i, gap, length)
	var force float64
	if err == nil {
		force = c.Line("F", "force on "+b.ID, pressing)
	}
	bending, err2 := calc.BarStress(bar, force, length)
	if err != nil || err2 != nil {
		c.NotChecked(b.Path(), "the force on %s cannot be computed", b.ID)
		return
	}
	c.Given("w", "width", b.WidthMM, "mm", b.Path()+".width_mm")
	c.Given("d", "thickness, across which it bends", b.ThicknessMM, "mm", b.Path()+".thickness_mm")
	c.Line("Z", "section modulus", bar.SectionModulus())
	stress := c.Line("sigma", "bending stress between two supports, IEC 60865-1", bending)
	yield := c.Line("R_p", "yield point of "+bar.Metal.Name, bar.Yield())
	q := c.Standard("q", "reserve of a rectangular section before it stays bent", calc.PlasticReserve, "", "IEC 60865-1")
	limit := c.Calc("sigma_max", "permitted stress", "q R_p", rules.Term(q)+" * "+rules.Term(yield), q*yield, "N/mm2")
	c.AtMost(rules.Quantity{Value: stress, Unit: "N/mm2"}, rules.Quantity{Value: limit, Unit: "N/mm2"},
		"%s: bending stress %s N/mm2 in a short circuit of %s A (%s N), limit %s N/mm2", b.ID, rules.Figure(stress), rules.Figure(i), rules.Figure(force), rules.Figure(limit))
}
