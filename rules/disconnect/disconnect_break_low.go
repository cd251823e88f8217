package disconnect

import (
	"math"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/contact"
	"example.org/headroom/schema"
)

func disconnectBreakLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-break-low",
		Family: family,
		Title:  "a disconnect cannot interrupt the current of a mode at its voltage",
		Why: "The disconnect is what a person reaches for when something is on fire, with the current flowing: it may be opened under load. " +
			"Beyond its breaking capacity it draws an arc that does not go out, next to the hand on its handle.",
		Relation: "the greatest current of any mode <= the greatest break rating at or above the highest working voltage; " +
			"of a polarized one the current from a to b, and reverse_break_A the other way. A rating at a lower voltage says nothing",
		Source:   "IEC 60947-3 (breaking capacity at the rated operational voltage); data sheet",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a disconnect with a breaking capacity at the voltage of the full pack",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.break", Value: `[{"V": 120, "A": 80, "operations": 50}]`}}},
		Check: check(judgeBreak),
	}
}

func judgeBreak(c *rules.Check, p *rules.Pass, d device) {
	uses, ok := d.currents(c, p)
	if !ok {
		return
	}
	if len(d.Break) == 0 {
		c.NotChecked(d.field("break"), "%s states no current that it interrupts", d.ID)
		return
	}
	v, ok := d.workingV(c, p, math.Inf(1))
	if !ok {
		return
	}
	for i, b := range d.Break {
		c.GivenText("break", "break rating", breakText(b), d.field("break")+"."+strconv.Itoa(i))
	}
	limit, index := contact.Breaks(d.Break, v)
	worst, reverse := d.hardest(uses, limit)
	c.In(worst.Mode.ID, worst.At.String())
	i := c.Solved("I", "greatest current of "+worst.Edge.ID, math.Abs(worst.A), "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	switch {
	case reverse && d.ReverseBreakA.Known:
		limit = c.Given("I_r", "current that it interrupts from b to a", d.ReverseBreakA.Value, "A", d.field("reverse_break_A"))
		c.Fix("turn the disconnect round, or use one that is not polarized")
		c.AtMost(amperes(i), amperes(limit), "%s has to interrupt %s A from b to a in mode %s; it is polarized and rated for %s A that way",
			d.ID, figure(i), worst.Mode.ID, figure(limit))
	case reverse:
		c.NotChecked(d.field("reverse_break_A"), "%s is polarized and has to interrupt %s A from b to a in mode %s", d.ID, figure(i), worst.Mode.ID)
	case index < 0:
		c.Fix("ask the maker for the breaking capacity at %s V DC, or use another disconnect", figure(v))
		c.Fail("%s states no break rating at the %s V of its circuit; those at a lower voltage say nothing there", d.ID, figure(v))
	default:
		c.Fix("use a disconnect that interrupts %s A at %s V DC", figure(roundUp(i)), figure(v))
		c.AtMost(amperes(i), amperes(limit), "%s may be opened under load: %s A at up to %s V in mode %s; it interrupts %s A",
			d.ID, figure(i), figure(v), worst.Mode.ID, figure(limit))
	}
}

// hardest is the use that asks most of what the disconnect interrupts, and
// whether it flows against the direction of a polarized one.
func (d device) hardest(uses []contact.Use, forward float64) (worst contact.Use, reverse bool) {
	worst = uses[0]
	var most float64
	for _, u := range uses {
		against, limit := d.Polarized && u.A < 0, forward
		if against {
			limit = d.ReverseBreakA.Or(0)
		}
		// With no rating at all for a direction any current in it is too much.
		asked := math.Abs(u.A) / math.Max(limit, 1e-9)
		if asked > most {
			worst, reverse, most = u, against, asked
		}
	}
	return worst, reverse
}

func breakText(b schema.BreakRating) string {
	text := figure(b.A) + " A at " + figure(b.V) + " V"
	if b.Operations.Known {
		text += ", " + figure(b.Operations.Value) + " times"
	}
	return text
}
