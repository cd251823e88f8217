package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func contactorCarryLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-carry-low",
		Family: family,
		Title:  "a contact carries more than it is rated for, continuously or over its cycle",
		Why: "A contact above its rated current heats its own springs; they lose their force, the contact resistance rises, " +
			"and the contactor welds or melts its case after a season rather than on the first day.",
		Relation: "the current of every mode without a time limit <= carry_A; of the declared cycle, and of a mode that lasts a given time, the equivalent continuous current I_eq that heats as much as " +
			"its hottest moment <= carry_A: theta = I_eq^2 follows theta' = I^2 + (theta - I^2) exp(-t/tau) from step to step, in the periodic state; between a controller and its motor phase_continuous_A, as rms, with phase_peak_A for phase_peak_s after it",
		Source:   "thermal replica of IEC 60255-149 in its periodic state, which is the root mean square for short cycles; time constants of 10 min (contactors) and 2 min (relays) from memory",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"contactors.contact.carry_A", "relays.contact.carry_A", "timers.contact.carry_A", "batteries.resistance_mOhm", "batteries.short_circuit_A",
			"modes.lasts_s", "controllers.phase_continuous_A",
		},
		Fix: "use a contactor of the next size, or share the current",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.carry_A", Value: "50"}}},
		Check: checkCarry,
	}
}

func checkCarry(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			evalCarry(c, p, d)
		}
	}
}

func evalCarry(c *rules.Check, p *rules.Pass, d device) {
	if !d.contact.CarryA.Known {
		c.NotChecked(d.contactPath("carry_A"), "%s: rated current of its contact is not given", d.id)
		return
	}
	if phase, in := demand.For(p).PhaseOf(d.contacts); in {
		duty, unknown := phase.Duty(d.id, d.tauS(), d.contact.CarryA.Value)
		if unknown != nil {
			unknown(c)
			return
		}
		d.reportCarry(c, p, duty)
		return
	}
	currents, ok := d.currents(c, p)
	if !ok {
		return
	}
	carry := d.contact.CarryA.Value
	duty, endless, drawer := demand.For(p).Hottest(d.contacts, currents, d.tauS(), carry)
	if drawer != "" && duty.EqA <= carry {
		demand.Unended(c, d.id, endless, drawer, carry)
		return
	}
	d.reportCarry(c, p, duty)
}

func (d device) reportCarry(c *rules.Check, p *rules.Pass, duty demand.Duty) {
	carry := d.contact.CarryA.Value
	duty.In(c)
	duty.Explain(c.Working, d.id, d.tauS(), "from memory")
	c.Given("I_c", "rated current of the contact, continuous", carry, "A", d.contactPath("carry_A"))
	c.Fix("use a contact rated at least %s A continuous", rules.Figure(rules.RoundUp(p.Required()*duty.EqA, 1)))
	if duty.Phase != nil {
		c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(carry), "%s: %s A %s, rated %s A continuous", d.id, rules.Figure(duty.EqA), duty.Said(), rules.Figure(carry))
		return
	}
	if duty.Steps == nil {
		c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(carry), "%s: %s A in mode %s, rated %s A continuous",
			d.id, rules.Figure(duty.EqA), duty.Mode.ID, rules.Figure(carry))
		return
	}
	if d.shortTimeFails(p, duty.Use) {
		c.Because("contactor-short-time-low", d.id)
	}
	what := "the cycle of mode " + duty.Mode.ID
	if duty.Cycle {
		what = "the declared cycle"
	}
	c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(carry), "%s: equivalent continuous current %s A over %s, rated %s A continuous",
		d.id, rules.Figure(duty.EqA), what, rules.Figure(carry))
}
