package contactor

import (
	"math"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
)

func contactorBreakLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-break-low",
		Family: family,
		Title:  "a contact cannot interrupt the current of a mode at its voltage",
		Why: "The emergency stop is pressed on the hill. A contact beyond its breaking capacity draws an arc that does not go out: " +
			"the drive stays on and the contactor burns.",
		Relation: "the greatest current of any mode <= the greatest breaking capacity stated at or above the highest working voltage; " +
			"of a polarized contact the current from a to b. A rating at a lower voltage does not count",
		Source:   "IEC 60947-4-1 (breaking capacity at the rated operational voltage); data sheet",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"contactors.contact.break", "relays.contact.break", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a contactor with a breaking capacity at the voltage of the full pack",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.break", Value: `[{"V": 96, "A": 80, "operations": 50}]`}}},
		Check: checkBreak,
	}
}

func checkBreak(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			evalBreak(c, p, d)
		}
	}
}

func evalBreak(c *rules.Check, p *rules.Pass, d device) {
	currents, ok := d.currents(c, p)
	if !ok {
		return
	}
	worst := d.worstBreak(currents, false)
	if id, a := d.ownRegeneration(p); a > worst.A && !d.contact.Polarized {
		k := p.Spec.Controllers[id]
		d.compareBreak(c, p, c.Given("I", "regeneration of "+id, a, "A", k.Path()+".regen_A"), "while "+id+" brakes")
		return
	}
	c.In(worst.Mode.ID, breakCorner(worst.At))
	i := c.Solved("I", "greatest current of "+worst.Edge.ID, worst.A, "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	d.compareBreak(c, p, i, "in mode "+worst.Mode.ID)
}

// worstBreak is the mode with the greatest current that a contact has to
// interrupt: of a polarized one that from a to b, or against it.
func (d device) worstBreak(currents []demand.Use, reverse bool) demand.Use {
	worst := demand.Use{Mode: currents[0].Mode, Edge: d.contacts[0]}
	for _, k := range currents {
		a := k.SignedA()
		switch {
		case reverse:
			a = -a
		case !d.contact.Polarized:
			a = math.Abs(a)
		}
		if a > worst.A {
			worst = k
		}
	}
	return worst
}

// ownRegeneration is the greatest current in A that a controller behind the
// contact feeds back by its own limit without a mode that says how much it does.
func (d device) ownRegeneration(p *rules.Pass) (id string, a float64) {
	for _, k := range d.controllers(p) {
		if own := demand.UndeclaredRegenA(p.Spec, k); own > a {
			id, a = k, own
		}
	}
	return id, a
}

// compareBreak compares a current with what the contact interrupts at the
// highest voltage of its circuit.
func (d device) compareBreak(c *rules.Check, p *rules.Pass, i float64, when string) {
	v, found, _ := d.workingV(p, c.Working)
	switch {
	case !found:
		demand.NoSource(c, "contact of "+d.id)
		return
	case len(d.contact.Break) == 0:
		c.NotChecked(d.contactPath("break"), "%s: %s A to interrupt %s, breaking capacity is not given; fill in the figure of its data sheet at %s V DC or above",
			d.id, rules.Figure(i), when, rules.Figure(v))
		return
	}
	for n, b := range d.contact.Break {
		c.GivenText("break", "breaking capacity", breakText(b.V, b.A, b.Operations.Or(0)), d.contactPath("break")+"."+strconv.Itoa(n))
	}
	limit, index := capacity.Breaks(d.contact.Break, v)
	if index < 0 {
		if rated := d.contact.RatedVdc; rated.Known && rated.Value < v {
			c.Because("contactor-voltage-low", d.id)
		}
		c.Fix("ask the maker for the breaking capacity at %s V DC, or use another contactor", rules.Figure(rules.RoundUp(v, 1)))
		c.Fail("%s: no breaking capacity is given at the %s V of its circuit; those at a lower voltage do not count", d.id, rules.Figure(v))
		return
	}
	often := ""
	if n := d.contact.Break[index].Operations; n.Known {
		often = " (" + rules.Figure(n.Value) + " operations)"
	}
	c.Fix("use a contactor with a breaking capacity of at least %s A at %s V DC", rules.Figure(rules.RoundUp(p.Required()*i, 1)), rules.Figure(rules.RoundUp(v, 1)))
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: %s A to interrupt at up to %s V %s, breaking capacity %s A%s",
		d.id, rules.Figure(i), rules.Figure(v), when, rules.Figure(limit), often)
}

func breakText(v, a, operations float64) string {
	text := rules.Figure(a) + " A at " + rules.Figure(v) + " V"
	if operations > 0 {
		text += ", " + rules.Figure(operations) + " operations"
	}
	return text
}
