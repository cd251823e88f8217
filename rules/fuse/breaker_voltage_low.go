package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func breakerVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-voltage-low",
		Family: family,
		Title:  "the DC voltage rating of a circuit breaker is below the working voltage of its circuit",
		Why: "An alternating current goes out by itself a hundred times a second, a direct current has to be stretched until it does. A breaker for 230 V AC often breaks 48 V DC with " +
			"one pole; above that the arc stands in the open contact until the housing burns.",
		Relation: "rated_V_dc of the connection as it is drawn, all poles in series together, >= the highest working voltage: end of charge, the charger, and what regeneration adds",
		Source:   "IEC 60947-2 and IEC 60898-2 (rated voltage for direct current, by connection; clauses from memory); physics of the arc",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"breakers.rated_V_dc"},
		Fix:      "use a breaker, or a connection of its poles in series, with a DC rating of at least the working voltage",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.rated_V_dc", Value: "48"}}},
		Check: eachBreaker(evalBreakerVoltage),
	}
}

func evalBreakerVoltage(s *supply, c *rules.Check, d breaker) {
	path := d.field("rated_V_dc")
	if !d.RatedVdc.Known {
		also := ""
		if d.RatedVac.Known {
			also = "; its " + rules.Figure(d.RatedVac.Value) + " V AC count for nothing on a battery"
		}
		c.NotChecked(path, "%s: its DC voltage rating is not declared%s", d.ID, also)
		return
	}
	have := c.Given("V_n", "DC voltage rating of "+d.ID+" as it is connected", d.RatedVdc.Value, "V", path)
	v, found, err := demand.SwitchedV(s.Pass, c.Working, demand.Element(d.poles))
	if !found {
		demand.NoSource(c, d.ID)
		return
	}
	if demand.VoltageUnknown(c, err, have >= v, "of the circuit of "+d.ID) {
		return
	}
	c.In("", "pack full")
	c.Fix("use a breaker rated at least %s V DC, or more poles in series as its sheet shows", rules.Figure(rules.RoundUp(v*s.Required(), 1)))
	c.AtMost(rules.Volts(v), rules.Volts(have), "%s: working voltage %s V, rated %s V DC as it is connected", d.ID, rules.Figure(v), rules.Figure(have))
}
