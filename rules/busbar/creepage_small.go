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
		Title:  "the way over insulation between opposite poles is too short",
		Why: "Road dust with a little water conducts. Over a short way it carries a current that dries it in spots, sparks across them, and burns a track of carbon " +
			"into the plastic, which one damp morning is a short circuit that no fuse sees in time.",
		Relation: "creepage_mm of a bar or stud >= the table's for the highest working voltage, the next row up, at policy.pollution_degree and policy.material_group, " +
			"and not less than the clearance by the standard. At 60 V and below metal whose distance is not given is no subject",
		Source:   "IEC 60664-1 Table F.4, other than printed wiring, DC taken as the r.m.s. value",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.pollution_degree", "policy.material_group"},
		Fix:      "stand the poles further apart, cut a groove between them, or close the box against dirt and declare its pollution degree",
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
			c.NotChecked(path, "the %s %s stands at up to %s V; how far it is over insulation to the other pole is not given", m.what, m.ID, rules.Figure(v))
			return
		}
		if unreckoned(c, err, true, m.ID) {
			return
		}
		l.WorkingV(c.Working, m.sources)
		clearance, err := workClearance(c, p, m, v)
		if err != nil {
			c.NotChecked(m.Path(), "the clearance of %s cannot be found: %v", m.ID, err)
			return
		}
		degree, group := p.Spec.Policy.PollutionDegree, p.Spec.Policy.MaterialGroup
		table, row, err := calc.CreepageMM(v, degree, group)
		if err != nil {
			c.NotChecked(m.Path(), "the creepage of %s cannot be found: %v", m.ID, err)
			return
		}
		c.GivenText("MG", "material group of what bare metal stands on", group, "policy.material_group")
		c.Standard("l_t", fmt.Sprintf("creepage in the row of %s V", rules.Figure(row)), table, "mm", "IEC 60664-1 Table F.4")
		need := c.Calc("l", "creepage needed", "max(l_t, d_s)", "max("+rules.Term(table)+", "+rules.Term(clearance)+")", max(table, clearance), "mm")
		has := c.Given("l_m", "creepage of "+m.ID, m.creepage.Value, "mm", path)
		c.AtLeast(millimetres(need), millimetres(has), "the %s %s has %s mm over insulation to the other pole; %s mm are needed at %s V, pollution degree %d, material group %s",
			m.what, m.ID, rules.Figure(has), rules.Figure(need), rules.Figure(v), degree, group)
	})
}
