package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func cutoutContactLow() *rules.Rule {
	return &rules.Rule{
		ID:     "cutout-contact-low",
		Family: family,
		Title:  "the contact of a thermal cut-out is not rated for the circuit that it opens",
		Why: "A small bimetal opens slowly. On a voltage or current above its rating the arc welds the contact, and the next time it is hot nothing opens: " +
			"a cut-out for 230 V AC is no cut-out at 48 V DC.",
		Relation: "contact.rated_V_dc >= the highest working voltage of what it opens, and contact.carry_A >= its greatest current in any mode, the pick-up of coils included",
		Source:   "IEC 60730-2-9 (contact ratings, from memory); data sheets; physics of the arc",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"cutouts.contact.rated_V_dc", "cutouts.contact.carry_A"},
		Fix:      "use a cut-out rated for that DC voltage and current, or let it open the coil of a relay",
		Example: rules.Example{Vehicle: "mole", Subject: "motor_cutout", Edits: []rules.Edit{
			{Path: "cutouts.motor_cutout.contact.rated_V_dc", Value: "28"}}},
		Check: eachCutout(evalCutoutContact),
	}
}

func evalCutoutContact(c *rules.Check, p *rules.Pass, k cutout) {
	v, found, err := demand.SwitchedV(p, c.Working, k.set)
	rated, carry := k.Contact.RatedVdc, k.Contact.CarryA
	switch {
	case !found:
		demand.NoSource(c, k.ID)
		return
	case !rated.Known:
		c.NotChecked(k.field("contact.rated_V_dc"), "%s: DC voltage rating of its contact is not given", k.ID)
		return
	case demand.VoltageUnknown(c, err, p.Required()*v <= rated.Value, "of the circuit of "+k.ID):
		return
	}
	have := c.Given("V_r", "rated voltage of its contact", rated.Value, "V", k.field("contact.rated_V_dc"))
	if v*p.Required() > have {
		c.Fix("use a cut-out rated at least %s V DC", rules.Figure(rules.RoundUp(v*p.Required(), 1)))
		c.AtMost(rules.Volts(v), rules.Volts(have), "%s: up to %s V in the circuit that it opens, contact rated %s V DC", k.ID, rules.Figure(v), rules.Figure(have))
		return
	}
	uses, ok := demand.For(p).Known(c, k.ID, k.set)
	if !ok {
		return
	}
	if !carry.Known {
		c.NotChecked(k.field("contact.carry_A"), "%s: rated current of its contact is not given", k.ID)
		return
	}
	most := demand.Greatest(uses)
	c.In(most.ModeID(), most.At.String())
	i := c.Solved("I", "greatest current of "+k.ID, most.A, "A", "over all modes, "+most.At.String())
	limit := c.Given("I_r", "rated current of its contact", carry.Value, "A", k.field("contact.carry_A"))
	c.Fix("use a cut-out rated at least %s A, or let it open the coil of a relay", rules.Figure(rules.RoundUp(i*p.Required(), 0.1)))
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: up to %s A in the circuit that it opens, contact rated %s A", k.ID, rules.Figure(i), rules.Figure(limit))
}
