package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func blockVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "block-voltage-low",
		Family: family,
		Title:  "a distribution block is rated for less than the highest voltage of its network",
		Why: "The base holds the bar off the panel, and off the bar of the other pole beside it. A block made for 12 V lamps has neither the distances nor the " +
			"moulding for a pack: with dust and damp a track burns in, which no fuse notices before it arcs.",
		Relation: "rated_V_dc >= the highest working voltage of its network: end of charge, charger, regeneration; a rating for AC alone counts for nothing",
		Source:   "IEC 60947-7-1 (rated insulation voltage, from memory); highest working voltage as in ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"blocks.rated_V_dc"},
		Fix:      "use a block rated for the voltage at the end of charge",
		Example: rules.Example{Vehicle: "mole", Subject: "house_returns", Edits: []rules.Edit{
			{Path: "blocks.house_returns.rated_V_dc", Value: "6"}}},
		Check: checkBlockVoltage,
	}
}

func checkBlockVoltage(p *rules.Pass) {
	l := demand.For(p)
	blocks(p, func(c *rules.Check, b block) {
		switch {
		case !b.RatedVdc.Known && b.RatedVac.Known:
			c.Related(b.Path()+".rated_V_ac", "the AC rating")
			c.Fail("%s: rated %s V AC only, which says nothing of what it withstands on a battery", b.ID, rules.Figure(b.RatedVac.Value))
			return
		case !b.RatedVdc.Known:
			c.NotChecked(b.Path()+".rated_V_dc", "%s: its DC voltage rating is not given", b.ID)
			return
		}
		sources := l.SourcesAt(b.node)
		v, err := demand.HighestVoltage(p, c.Working, sources)
		switch {
		case len(sources) == 0:
			demand.NoSource(c, b.ID)
		case demand.VoltageUnknown(c, err, p.Required()*v <= b.RatedVdc.Value, "of the network of "+b.ID):
		default:
			rated := c.Given("V_r", "rated voltage of "+b.ID, b.RatedVdc.Value, "V", b.Path()+".rated_V_dc")
			c.Fix("use a block rated at least %s V DC", rules.Figure(rules.RoundUp(p.Required()*v, 1)))
			c.AtMost(rules.Volts(v), rules.Volts(rated), "%s: up to %s V in its network, rated %s V DC", b.ID, rules.Figure(v), rules.Figure(rated))
		}
	})
}
