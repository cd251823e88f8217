package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func contactorBreakReverseLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-break-reverse-low",
		Family: family,
		Title:  "a polarized contact cannot interrupt the current that flows through it in reverse",
		Why: "Blow-out magnets push the arc out of the gap in one direction and into the mechanism in the other. " +
			"A contactor connected the wrong way around, or opened while the motor brakes, destroys itself.",
		Relation: "the greatest current from b to a, driving, regeneration and charging, <= reverse_break_A",
		Source:   "data sheet; principle of permanent-magnet arc blow-out",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"contactors.contact.reverse_break_A", "relays.contact.reverse_break_A", "batteries.resistance_mOhm",
			"batteries.short_circuit_A",
		},
		Fix: "swap the conductors at a and b, or use a contactor that interrupts in both directions",
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
			evalBreakReverse(c, p, d)
		}
	}
}

func evalBreakReverse(c *rules.Check, p *rules.Pass, d device) {
	currents, ok := d.currents(c, p)
	if !ok {
		return
	}
	worst := d.worstBreak(currents, true)
	// Driving goes from a to b: then what the same controller feeds back does not.
	if id, a := d.ownRegeneration(p); a > worst.A && d.worstBreak(currents, false).A > 0 {
		d.fixReverse(c, p, currents, a)
		d.evalReverse(c, c.Given("I", "regeneration of "+id, a, "A", p.Spec.Controllers[id].Path()+".regen_A"), "while "+id+" brakes")
		return
	}
	if worst.A == 0 {
		c.Holds(true, "%s: no current from b to a in any mode", d.id)
		return
	}
	c.In(worst.Mode.ID, worst.At.String())
	i := c.Solved("I", "greatest current of "+worst.Edge.ID+" from b to a", worst.A, "A", "over all modes, "+worst.At.String())
	if !d.contact.ReverseBreakA.Known && demand.Backwards(currents) {
		d.fixReverse(c, p, currents, i)
		c.Fail("%s: connected the wrong way around; the controllers draw %s A from b to a in mode %s, it interrupts only from a to b", d.id, rules.Figure(i), worst.Mode.ID)
		return
	}
	d.fixReverse(c, p, currents, i)
	d.evalReverse(c, i, "in mode "+worst.Mode.ID)
}

// fixReverse says what to do about a current from b to a, in A. Swapped conductors help
// only where the controllers draw that way, and what they feed back is little enough.
func (d device) fixReverse(c *rules.Check, p *rules.Pass, currents []demand.Use, i float64) {
	_, back := d.ownRegeneration(p)
	if back = max(back, d.worstBreak(currents, false).A); !demand.Backwards(currents) {
		c.Fix("use a contactor with reverse_break_A of at least %s, or one that is not polarized", rules.Figure(rules.RoundUp(p.Required()*i, 1)))
	} else if back = p.Required() * back; back <= d.contact.ReverseBreakA.Or(0) || back == 0 {
		c.Fix("swap the conductors at a and b, so that the controllers draw from a to b")
	} else {
		c.Fix("swap the conductors at a and b, so that the controllers draw from a to b, and use a contactor with reverse_break_A of at least %s for what they feed back", rules.Figure(rules.RoundUp(back, 1)))
	}
}

// evalReverse compares a current from b to a with what the contact interrupts
// that way.
func (d device) evalReverse(c *rules.Check, i float64, when string) {
	if !d.contact.ReverseBreakA.Known {
		c.NotChecked(d.contactPath("reverse_break_A"), "%s: %s A to interrupt from b to a %s, reverse breaking capacity is not given", d.id, rules.Figure(i), when)
		return
	}
	limit := c.Given("I_rev", "reverse breaking capacity, from b to a", d.contact.ReverseBreakA.Value, "A", d.contactPath("reverse_break_A"))
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: %s A to interrupt from b to a %s, reverse breaking capacity %s A", d.id, rules.Figure(i), when, rules.Figure(limit))
}
