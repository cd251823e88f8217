package switches

import (
	"errors"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func poleVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "pole-voltage-low",
		Family: family,
		Title:  "the pole of a switch is rated for less than the highest voltage of its circuit",
		Why: "The breaking capacity of a contact falls steeply with the voltage: a switch rated 10 A at 12 V may not interrupt 1 A at 48 V. " +
			"The arc stays between the open contacts, and the emergency stop or the key no longer switches anything off.",
		Relation: "rated_V_dc >= the highest working voltage of the sources that the pole switches: end of charge, charger, regeneration",
		Source:   "IEC 60947-1 (rated operational voltage), IEC 61058-1; highest working voltage as in ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a switch rated for that DC voltage, or let it switch a relay",
		Example: rules.Example{Vehicle: "mole", Subject: "key.drive", Edits: []rules.Edit{
			{Path: "switches.key.poles.drive.rated_V_dc", Value: "28"}}},
		Check: check(evalPoleVoltage),
	}
}

func evalPoleVoltage(c *rules.Check, p *rules.Pass, k pole) {
	v, found, err := demand.SwitchedV(p, c.Working, k.set())
	var missing *rules.Missing
	switch {
	case !found:
		c.NotChecked("a source for "+k.id, "%s: no source is connected to it", k.id)
	case !k.RatedVdc.Known:
		c.NotChecked(k.path("rated_V_dc"), "%s: DC voltage rating is not given", k.id)
	case errors.As(err, &missing) && v <= k.RatedVdc.Value:
		c.NotChecked(missing.Path, "%s: the highest voltage of its circuit depends on %s", k.id, missing.What)
	default:
		rated := c.Given("V_r", "rated voltage of "+k.id, k.RatedVdc.Value, "V", k.path("rated_V_dc"))
		c.Fix("use a switch rated at least %s V DC", rules.Figure(rules.RoundUp(p.Required()*v, 1)))
		c.AtMost(rules.Volts(v), rules.Volts(rated), "%s: up to %s V in its circuit, rated %s V DC", k.id, rules.Figure(v), rules.Figure(rated))
	}
}
