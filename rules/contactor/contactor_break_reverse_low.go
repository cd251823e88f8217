package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func contactorBreakReverseLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-break-reverse-low",
		Family: family,
		Title:  "current flows through a polarized contact against the direction in which it interrupts",
		Why: "Blow-out magnets push the arc out of the gap in one direction and into the mechanism in the other. " +
			"A contactor mounted the wrong way up, or opened while the motor brakes, destroys itself.",
		Relation: "the greatest current from b to a, driving, regeneration and charging, <= reverse_break_A",
		Source:   "data sheet; principle of permanent-magnet arc blow-out",
		Level:    rules.Error,
		Required: 1,
		Fix:      "exchange the conductors at a and b, or use a contactor that interrupts in both directions",
		Example: rules.Example{Vehicle: "badger", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.reverse_break_A", Value: "40"}}},
		Check: checkBreakReverse,
	}
}

func checkBreakReverse(p *rules.Pass) {
	for _, d := range devices(p) {
		if !d.contact.Polarized {
			continue
		}
		if c, ok := onContact(p, d); ok {
			judgeBreakReverse(c, p, d)
		}
	}
}

func judgeBreakReverse(c *rules.Check, p *rules.Pass, d device) {
	currents, ok := d.currents(c, p)
	if !ok {
		return
	}
	worst := d.worstBreak(currents, true)
	// Driving goes from a to b: then what the same controller feeds back does not.
	if id, a := d.ownRegeneration(p); a > worst.A && d.worstBreak(currents, false).A > 0 {
		d.judgeReverse(c, c.Given("I", "regeneration of "+id, a, "A", p.Spec.Controllers[id].Path()+".regen_A"), "while "+id+" brakes")
		return
	}
	if worst.A == 0 {
		c.Holds(true, "no mode sends a current through %s from b to a", d.id)
		return
	}
	c.In(worst.Mode.ID, worst.At.String())
	i := c.Solved("I", "greatest current of "+worst.Edge.ID+" from b to a", worst.A, "A", "over all modes, "+worst.At.String())
	if !d.contact.ReverseBreakA.Known && demand.Backwards(currents) {
		c.Fix("exchange the conductors at a and b")
		c.Fail("all that controllers draw through %s flows from b to a, %s A in mode %s: it is mounted the wrong way round, and interrupts only from a to b", d.id, rules.Figure(i), worst.Mode.ID)
		return
	}
	d.judgeReverse(c, i, "in mode "+worst.Mode.ID)
}

// judgeReverse compares a current from b to a with what the contact interrupts
// that way.
func (d device) judgeReverse(c *rules.Check, i float64, when string) {
	if !d.contact.ReverseBreakA.Known {
		c.NotChecked(d.contactPath("reverse_break_A"), "%s %s A flow through %s from b to a, and it does not say what it interrupts that way", when, rules.Figure(i), d.id)
		return
	}
	limit := c.Given("I_rev", "current that it interrupts from b to a", d.contact.ReverseBreakA.Value, "A", d.contactPath("reverse_break_A"))
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s %s A flow through %s from b to a; that way it interrupts %s A", when, rules.Figure(i), d.id, rules.Figure(limit))
}
