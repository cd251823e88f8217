package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func busbarVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "busbar-voltage-low",
		Family: family,
		Title:  "the supports or the insulation of a bus bar are rated below the voltage of its network",
		Why: "A bar is mounted on something: a plastic block, a sleeve, a painted strip. What was made for 12 V tracks at pack voltage as soon as it is wet and dirty, " +
			"and a tracking support burns at a current that no fuse opens at.",
		Relation: "rated_V >= the highest working voltage of the sources that feed the bar or that it returns to. A bar needs a rating above 60 V only",
		Source:   "IEC 60664-1, ISO 6469-3 (working voltage)",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"busbars.rated_V"},
		Fix:      "use supports rated at least the pack's highest voltage",
		Example: rules.Example{Vehicle: "badger", Subject: "b_comb_2", Edits: []rules.Edit{
			{Path: "busbars.b_comb_2.rated_V", Value: "60"}}},
		Check: checkVoltage,
	}
}

func checkVoltage(p *rules.Pass) {
	bars(p, func(c *rules.Check, l *demand.Demands, b *schema.Busbar) {
		path := b.Path() + ".rated_V"
		sources := l.Sources(b.ID)
		if v, _ := l.Volts(sources); v == 0 || !b.RatedV.Known && v <= calc.ClassALimitV {
			return
		}
		v, err := l.WorkingV(c.Working, sources)
		if !b.RatedV.Known {
			c.NotChecked(path, "%s: up to %s V; the rated voltage of its supports is not given", b.ID, rules.Figure(v))
			return
		}
		limit := c.Given("V_r", "rated voltage of the supports of "+b.ID, b.RatedV.Value, "V", path)
		if demand.VoltageUnknown(c, err, v <= limit, "of "+b.ID) {
			return
		}
		if _, in := p.Circuit.PhaseOf(p.Circuit.Edge(b.ID)); in {
			c.Because("phase-voltage-low", b.ID)
		}
		c.Fix("use supports rated at least %s V", rules.Figure(rules.RoundUp(v, 1)))
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: up to %s V, supports rated %s V", b.ID, rules.Figure(v), rules.Figure(limit))
	})
}
