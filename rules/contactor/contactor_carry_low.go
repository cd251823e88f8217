package contactor

import (
	"math"

	"example.org/headroom/rules"
)

func contactorCarryLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-carry-low",
		Family: family,
		Title:  "a contact carries more than it is rated for, for good or over its cycle",
		Why: "A contact above its carrying current heats its own springs; they lose their force, the contact resistance rises, " +
			"and the contactor welds or melts its case after a season rather than on the first day.",
		Relation: "the current of every mode without lasts_s <= carry_A; of a mode that lasts, the steady current that heats as much as the peak of its cycle " +
			"I_eq = sqrt(I_base^2 + (I^2 - I_base^2) (1 - exp(-lasts/tau)) / (1 - exp(-every/tau))) <= carry_A",
		Source:   "thermal replica of IEC 60255-149 in its periodic state, which is the root mean square for short cycles; time constants of 10 min (contactors) and 2 min (relays) from memory",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a contactor of the next size, or share the current",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.carry_A", Value: "50"}}},
		Check: checkCarry,
	}
}

func checkCarry(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			judgeCarry(c, p, d)
		}
	}
}

// heating is what a mode asks of a contact for good.
type heating struct {
	carried
	eqA, baseA float64
}

func judgeCarry(c *rules.Check, p *rules.Pass, d device) {
	currents, failed := d.currents(p)
	switch missing := d.unsureSag(p); {
	case failed != nil:
		unsolved(c, failed)
		return
	case len(currents) == 0:
		c.NotChecked("modes", "no mode says what flows through %s", d.id)
		return
	case !d.contact.CarryA.Known:
		c.NotChecked(d.contactPath("carry_A"), "%s states no current that its contact carries", d.id)
		return
	case missing != "":
		c.NotChecked(missing, "the current of %s grows as the battery sags, and its resistance is not given", d.id)
		return
	}
	worst, endless, peak := d.hottest(p, currents)
	carry := d.contact.CarryA.Value
	if worst.eqA <= carry && peak != "" && math.Abs(endless.a) > carry {
		c.NotChecked(endless.mode.Path()+".lasts_s", "%s carries %s A in mode %s, more than %s A; %s cannot draw that for good, so the mode needs its duration",
			d.id, figure(math.Abs(endless.a)), endless.mode.ID, figure(carry), peak)
		return
	}
	c.In(worst.mode.ID, worst.at.String())
	worst.steps(c, d)
	c.Given("I_c", "current that the contact carries for good", carry, "A", d.contactPath("carry_A"))
	if worst.mode.LastsS.Known && d.shortTimeFails(p, worst.carried) {
		c.Because("contactor-short-time-low", d.id)
	}
	c.Fix("use a contact that carries %s A", figure(roundUp(worst.eqA)))
	if worst.mode.LastsS.Known {
		c.AtMost(amperes(worst.eqA), amperes(carry), "the cycle of mode %s heats the contact of %s as much as a steady %s A; it carries %s A for good",
			worst.mode.ID, d.id, figure(worst.eqA), figure(carry))
		return
	}
	c.AtMost(amperes(worst.eqA), amperes(carry), "%s carries %s A in mode %s; it carries %s A for good",
		d.id, figure(worst.eqA), worst.mode.ID, figure(carry))
}

// hottest finds the mode that heats a contact most. A mode without a duration
// that a controller's continuous rating does not allow for good is left out and
// returned by itself.
func (d device) hottest(p *rules.Pass, currents []carried) (worst heating, endless carried, peak string) {
	var base float64
	for _, k := range currents {
		if k.mode.LastsS.Known {
			continue
		}
		if id := peakOf(p, k); id != "" {
			if math.Abs(k.a) >= math.Abs(endless.a) {
				endless, peak = k, id
			}
			continue
		}
		base = max(base, math.Abs(k.a))
	}
	for _, k := range currents {
		h := heating{k, math.Abs(k.a), base}
		switch {
		case k.mode.LastsS.Known:
			h.eqA = cyclic(math.Abs(k.a), k.mode.LastsS.Value, base, k.mode.EveryS.Or(math.Inf(1)), d.tauS())
		case endless.mode != nil && peakOf(p, k) != "":
			continue
		}
		if worst.mode == nil || h.eqA > worst.eqA && (math.Abs(k.a) > base || !k.mode.LastsS.Known) {
			worst = h
		}
	}
	return worst, endless, peak
}

// steps adds how the heating current comes about to the working.
func (h heating) steps(c *rules.Check, d device) {
	i := c.Solved("I", "current of "+h.edge.ID+" in mode "+h.mode.ID, math.Abs(h.a), "A", h.at.String())
	if !h.mode.LastsS.Known {
		return
	}
	base := c.Solved("I_base", "greatest current of a mode without lasts_s", h.baseA, "A", "as above, over those modes")
	lasts := c.Given("t", "duration of the mode", h.mode.LastsS.Value, "s", h.mode.Path()+".lasts_s")
	tau := c.Default("tau", "time constant of the heating of the contact", d.tauS(), "s", "from memory")
	formula, numbers := "1", "1"
	if every := h.mode.EveryS; every.Known {
		c.Given("T", "from one to the next", every.Value, "s", h.mode.Path()+".every_s")
		formula = "(1 - exp(-T / tau))"
		numbers = "(1 - exp(-" + figure(every.Value) + " / " + figure(tau) + "))"
	}
	c.Calc("I_eq", "steady current that heats as much", "sqrt(I_base^2 + (I^2 - I_base^2) (1 - exp(-t / tau)) / "+formula+")",
		"sqrt("+figure(base)+"^2 + ("+figure(i)+"^2 - "+figure(base)+"^2) * (1 - exp(-"+figure(lasts)+" / "+figure(tau)+")) / "+numbers+")", h.eqA, "A")
}
