package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
)

const clearanceSmallID = "clearance-small"

func clearanceSmall() *rules.Rule {
	return &rules.Rule{
		ID:     clearanceSmallID,
		Family: family,
		Title:  "bare metal of opposite poles stands too close together",
		Why: "What bridges two studs is seldom the voltage: it is a washer, a strand of copper or the spanner in somebody's hand, and behind it stands a battery of kiloamperes. " +
			"The arc that follows takes the metal with it.",
		Relation: "clearance_mm of a bar or stud >= the greater of 10 mm, for tools and swarf, and the clearance of the standard for its voltage, pollution degree and altitude. " +
			"At 60 V and below metal whose distance is not given is no subject",
		Source: "IEC 60664-1 Tables F.1, F.2 (case A) and A.2: overvoltage category II at the working voltage, the mains' where a charger is not isolated; " +
			"10 mm stud to stud by common practice",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.pollution_degree"},
		Fix:      "stand the poles further apart, or put a barrier or cap between them",
		Example: rules.Example{Vehicle: "badger", Subject: "plus", Edits: []rules.Edit{
			{Path: "studs.plus.clearance_mm", Value: "6"}}},
		Check: checkClearance,
	}
}

func checkClearance(p *rules.Pass) {
	bareMetal(p, func(c *rules.Check, l *demand.Demands, m bare) {
		v, err := l.Volts(m.sources)
		if v == 0 || !m.clearance.Known && v <= calc.ClassALimitV {
			return
		}
		path := m.Path() + ".clearance_mm"
		if !m.clearance.Known {
			c.NotChecked(path, "the %s %s stands at up to %s V; how far it is from bare metal of the other pole is not given", m.what, m.ID, rules.Figure(v))
			return
		}
		if unreckoned(c, err, true, m.ID) {
			return
		}
		l.WorkingV(c.Working, m.sources)
		standard, err := workClearance(c, p, m, v)
		if err != nil {
			c.NotChecked(m.Path(), "the clearance of %s cannot be found: %v", m.ID, err)
			return
		}
		tool := c.Default("d_t", "distance that neither tool nor swarf bridges", calc.ToolClearanceMM, "mm", "common practice")
		need := c.Calc("d", "clearance needed", "max(d_s, d_t)", "max("+rules.Term(standard)+", "+rules.Term(tool)+")", max(standard, tool), "mm")
		has := c.Given("d_m", "clearance of "+m.ID, m.clearance.Value, "mm", path)
		c.AtLeast(millimetres(need), millimetres(has), "the %s %s has %s mm of air to the other pole; %s mm are needed, %s mm of them by IEC 60664-1 at %s V",
			m.what, m.ID, rules.Figure(has), rules.Figure(need), rules.Figure(standard), rules.Figure(v))
	})
}
