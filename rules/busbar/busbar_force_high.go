package busbar

import (
	"fmt"

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
	force, err := calc.BarForce(i, gap/1000, length/1000)
	if err == nil {
		c.Calc("F", "force on "+b.ID, "2e-7 I_k^2 l / a", fmt.Sprintf("0.0000002 * %s^2 * %s / %s", rules.Term(i), rules.Term(length), rules.Term(gap)), force, "N")
	}
	stress, err2 := calc.BarStress(bar, force, length/1000)
	if err != nil || err2 != nil {
		c.NotChecked(b.Path(), "the force on %s cannot be computed", b.ID)
		return
	}
	w := c.Given("w", "width", b.WidthMM, "mm", b.Path()+".width_mm")
	d := c.Given("d", "thickness, across which it bends", b.ThicknessMM, "mm", b.Path()+".thickness_mm")
	z := c.Calc("Z", "section modulus", "w d^2 / 6", fmt.Sprintf("%s * %s^2 / 6", rules.Term(w), rules.Term(d)), bar.SectionModulusMM3(), "mm3")
	c.Calc("sigma", "bending stress between two supports, IEC 60865-1", "F l / (8 Z)", fmt.Sprintf("%s * %s / (8 * %s)", rules.Term(force), rules.Term(length), rules.Term(z)), stress, "N/mm2")
	yield := c.Standard("R_p", "yield point of "+bar.Metal.Name, bar.YieldNmm2(), "N/mm2", "EN 13601 and EN 755-2, from memory")
	q := c.Standard("q", "reserve of a rectangular section before it stays bent", calc.PlasticReserve, "", "IEC 60865-1")
	limit := c.Calc("sigma_max", "permitted stress", "q R_p", rules.Term(q)+" * "+rules.Term(yield), q*yield, "N/mm2")
	c.AtMost(rules.Quantity{Value: stress, Unit: "N/mm2"}, rules.Quantity{Value: limit, Unit: "N/mm2"},
		"%s: bending stress %s N/mm2 in a short circuit of %s A (%s N), limit %s N/mm2", b.ID, rules.Figure(stress), rules.Figure(i), rules.Figure(force), rules.Figure(limit))
}
