package busbar

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
)

func creepageSmall() *rules.Rule {
	return &rules.Rule{
		ID:     "creepage-small",
		Family: family,
		Title:  "the creepage distance between opposite poles is too short",
		Why: "Damp road dust conducts. Over a short distance it carries a current that dries it in spots, sparks across them, and burns a carbon track " +
			"into the plastic, which one damp morning becomes a short circuit.",
		Relation: "creepage_mm of a bar or stud >= the table value for the highest working voltage, the next row up, at policy.pollution_degree and policy.material_group, " +
			"and not less than the clearance by the standard. At 60 V and below metal without creepage_mm is not checked",
		Source:   "IEC 60664-1:2020 Table F.5 (F.4 up to edition 2), other than printed wiring, DC taken as the r.m.s. value; 5.3: never less than the clearance",
		Level:    rules.Error,
		Varies:   "warning where only a headroom that the policy asks for is missing",
		Required: 1,
		Policy:   []string{"policy.pollution_degree", "policy.material_group"},
		Fix:      "move the poles further apart, cut a groove between them, or seal the box against dirt and declare its pollution degree",
		Example: rules.Example{Vehicle: "badger", Subject: "plus", Edits: []rules.Edit{
			{Path: "studs.plus.creepage_mm", Value: "2"}}},
		Check: checkCreepage,
	}
}

func checkCreepage(p *rules.Pass) {
	bareMetal(p, func(c *rules.Check, l *demand.Demands, m bare) {
		v, err := l.Volts(m.sources)
		if v == 0 || !m.creepage.Known && v <= calc.ClassALimitV {
			return
		}
		path := m.Path() + ".creepage_mm"
		if !m.creepage.Known {
			c.NotChecked(path, "%s %s: up to %s V; the creepage distance to the other pole is not given", m.what, m.ID, rules.Figure(v))
			return
		}
		if demand.VoltageUnknown(c, err, true, "of "+m.ID) {
			return
		}
		l.WorkingV(c.Working, m.sources)
		clearance, err := explainClearance(c, p, m, v)
		if err != nil {
			c.NotChecked(m.Path(), "the clearance needed at %s cannot be computed: %v", m.ID, err)
			return
		}
		degree, group := p.Spec.Policy.PollutionDegree, p.Spec.Policy.MaterialGroup
		byTable, row, err := calc.Creepage(v, degree, group)
		if err != nil {
			c.NotChecked(m.Path(), "the creepage distance needed at %s cannot be computed: %v", m.ID, err)
			return
		}
		c.GivenText("MG", "material group of the insulation that carries bare metal", group, "policy.material_group")
		table := c.Line("l_t", fmt.Sprintf("creepage in the row of %s V", rules.Figure(row)), byTable)
		need := c.Calc("l", "creepage needed", "max(l_t, d_s)", "max("+rules.Term(table)+", "+rules.Term(clearance)+")", max(table, clearance), "mm")
		has := c.Given("l_m", "creepage of "+m.ID, m.creepage.Value, "mm", path)
		// A path along the insulation is no shorter than the one through air.
		least := max(p.Required()*need, m.clearance.Or(0))
		c.Fix("move the poles apart until there are at least %s mm along the insulation, cut a groove between them, or seal the box against dirt and declare its pollution degree",
			rules.Figure(rules.RoundUp(least, 0.1)))
		if has >= need {
			c.Level(rules.Warning)
		}
		c.AtLeast(millimetres(need), millimetres(has), "%s %s: creepage %s mm to the other pole, needs at least %s mm at %s V, pollution degree %d, material group %s",
			m.what, m.ID, rules.Figure(has), rules.Figure(need), rules.Figure(v), degree, group)
	})
}
