package connector

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func voltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-voltage-low",
		Family: family,
		Title:  "a connector is rated for less than the highest voltage of its circuit",
		Why: "Its creepage distances hold for one voltage, with the dust and damp of one pollution degree. Above it a wet connector tracks from pole to pole " +
			"on the source's side, and carbon does not heal.",
		Relation: "rated_V_dc of each power contact >= the highest working voltage: end of charge, charger, regeneration",
		Source:   "IEC 61984 (rated voltage); highest working voltage as in ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.connector-voltage-low"},
		Vital:    []string{"connectors.contacts"},
		Fix:      "use a connector rated for the voltage at the end of charge",
		Example: rules.Example{Vehicle: "mole", Subject: "bar_plug", Edits: []rules.Edit{
			{Path: "connectors.bar_plug.contacts", Value: `[{"carry_A": 13, "rated_V_dc": 12}, {"carry_A": 13, "rated_V_dc": 60}]`}}},
		Check: checkVoltage,
	}
}

func checkVoltage(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		least, path := 0.0, ""
		for _, e := range k.power {
			contact, at := k.contact(e)
			if !contact.RatedVdc.Known {
				c.NotChecked(at+".rated_V_dc", "%s: DC voltage rating of contact %s is not given", k.ID, e.ID)
				return
			}
			if path == "" || contact.RatedVdc.Value < least {
				least, path = contact.RatedVdc.Value, at+".rated_V_dc"
			}
		}
		v, found, err := k.workingV(c, p)
		switch {
		case !found:
			demand.NoSource(c, k.ID)
		case demand.VoltageUnknown(c, err, p.Required()*v <= least, "of the circuit of "+k.ID):
		default:
			rated := c.Given("V_r", "rated voltage of "+k.ID, least, "V", path)
			c.Fix("use a connector rated at least %s V DC", rules.Figure(rules.RoundUp(p.Required()*v, 1)))
			c.AtMost(rules.Volts(v), rules.Volts(rated), "%s: up to %s V in its circuit, rated %s V DC", k.ID, rules.Figure(v), rules.Figure(rated))
		}
	})
}
