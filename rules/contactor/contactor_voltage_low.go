package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func contactVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-voltage-low",
		Family: family,
		Title:  "a contact is rated for less than the highest voltage of its circuit",
		Why: "The gap of an open contact is designed for one voltage. Above it the arc burns on " +
			"between open contacts: the contactor cannot switch off, and burns up.",
		Relation: "rated_V_dc >= the highest working voltage: end of charge, charger, regeneration; and >= what comes to stand across the contact as it opens " +
			"while a controller feeds back, V_bus - V_pack: V_bus is max_V of the controller, or overvoltage_V + I_regen / C * overvoltage_reaction_us, V_pack that of the empty pack",
		Source:   "IEC 60947-1 (rated operational voltage); highest working voltage as in ISO 6469-3; circuit theory",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"contactors.contact.rated_V_dc", "relays.contact.rated_V_dc", "timers.contact.rated_V_dc"},
		Fix:      "use a contactor rated for the voltage at the end of charge",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.rated_V_dc", Value: "80"}}},
		Check: checkContactVoltage,
	}
}

func checkContactVoltage(p *rules.Pass) {
	for _, d := range devices(p) {
		c, ok := onContact(p, d)
		if !ok {
			continue
		}
		v, found, err := d.workingV(p, c.Working)
		across, by := d.againstV(p, c.Working, v)
		switch {
		case !found:
			demand.NoSource(c, "contact of "+d.id)
		case !d.contact.RatedVdc.Known:
			c.NotChecked(d.contactPath("rated_V_dc"), "contact of %s: DC voltage rating is not given", d.id)
		case demand.VoltageUnknown(c, err, p.Required()*v <= d.contact.RatedVdc.Value, "of the circuit of "+d.id):
		default:
			rated := c.Given("V_r", "rated voltage of the contact", d.contact.RatedVdc.Value, "V", d.contactPath("rated_V_dc"))
			if across > v {
				c.Fix("use a contact rated at least %s V DC, or let the regeneration of %s end at a lower voltage (overvoltage_V)", rules.Figure(rules.RoundUp(p.Required()*across, 1)), by)
				c.AtMost(rules.Volts(across), rules.Volts(rated), "contact of %s: up to %s V across it as it opens while %s feeds back, rated %s V DC", d.id, rules.Figure(across), by, rules.Figure(rated))
				continue
			}
			c.Fix("use a contact rated at least %s V DC", rules.Figure(rules.RoundUp(p.Required()*v, 1)))
			c.AtMost(rules.Volts(v), rules.Volts(rated), "contact of %s: up to %s V in its circuit, rated %s V DC", d.id, rules.Figure(v), rules.Figure(rated))
		}
	}
}
