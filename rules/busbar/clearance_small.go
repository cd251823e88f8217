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
		Title:  "the clearance between bare metal of opposite poles is too small",
		Why: "What bridges two studs is seldom the voltage: it is a washer, a strand of copper or a spanner, and the battery feeds it with kiloamperes. " +
			"The arc that follows melts the studs.",
		Relation: "clearance_mm of a bar or stud >= the greater of 10 mm, for tools and swarf, and the clearance of the standard for its voltage, pollution degree and altitude. " +
			"At 60 V and below metal without clearance_mm is not checked",
		Source: "IEC 60664-1:2020 Tables F.1, F.2 (case A) and A.2: overvoltage category II at the working voltage, the mains' where a charger is not isolated; " +
			"10 mm stud to stud by common practice",
		Level:    rules.Warning,
		Varies:   "error below the clearance of the standard: an impulse on the network jumps it",
		Required: 1,
		Policy:   []string{"policy.pollution_degree"},
		Fix:      "move the poles further apart, or fit a barrier between them or a cap over one",
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
			c.NotChecked(path, "%s %s: up to %s V; the clearance to bare metal of the other pole is not given", m.what, m.ID, rules.Figure(v))
			return
		}
		if demand.VoltageUnknown(c, err, true, "of "+m.ID) {
			return
		}
		l.WorkingV(c.Working, m.sources)
		standard, err := explainClearance(c, p, m, v)
		if err != nil {
			c.NotChecked(m.Path(), "the clearance needed at %s cannot be computed: %v", m.ID, err)
			return
		}
		tool := c.Default("d_t", "clearance against tools and swarf", calc.ToolClearanceMM, "mm", "common practice")
		need := c.Calc("d", "clearance needed", "max(d_s, d_t)", "max("+rules.Term(standard)+", "+rules.Term(tool)+")", max(standard, tool), "mm")
		has := c.Given("d_m", "clearance of "+m.ID, m.clearance.Value, "mm", path)
		if has < standard {
			c.Level(rules.Error)
		}
		c.AtLeast(millimetres(need), millimetres(has), "%s %s: clearance %s mm to the other pole, needs at least %s mm (IEC 60664-1: %s mm at %s V)",
			m.what, m.ID, rules.Figure(has), rules.Figure(need), rules.Figure(standard), rules.Figure(v))
	})
}
