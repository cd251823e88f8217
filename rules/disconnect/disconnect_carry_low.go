package disconnect

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func disconnectCarryLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-carry-low",
		Family: family,
		Title:  "a disconnect carries more than it is rated for, continuously or over its cycle",
		Why: "All the current of the vehicle goes through the disconnect for hours. Above its rated current its springs soften, " +
			"the contact resistance rises, and the handle melts into the housing: it can no longer be opened.",
		Relation: "the current of every mode without a time limit <= carry_A; of a cycle, the equivalent continuous current that heats as much as it does at its hottest " +
			"(thermal replica in its periodic state, tau 10 min) <= carry_A; between a controller and its motor phase_continuous_A, as rms, with phase_peak_A for phase_peak_s after it",
		Source:   "thermal replica of IEC 60255-149, which is the root mean square for short cycles; the time constant is from memory",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"disconnects.carry_A", "batteries.resistance_mOhm", "batteries.short_circuit_A", "modes.lasts_s", "controllers.phase_continuous_A"},
		Fix:      "use a disconnect of the next size",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.carry_A", Value: "50"}}},
		Check: check(evalCarry),
	}
}

// tauS is the time constant of the heating of a disconnect in s: of the size and
// build of a contactor, ten minutes or more (from memory); the shorter one heats
// sooner.
const tauS = 600

func evalCarry(c *rules.Check, p *rules.Pass, d device) {
	if !d.CarryA.Known {
		c.NotChecked(d.field("carry_A"), "%s: rated current is not given", d.ID)
		return
	}
	if phase, in := demand.For(p).PhaseOf(d.poles); in {
		duty, unknown := phase.Duty(d.ID, tauS, d.CarryA.Value)
		if unknown != nil {
			unknown(c)
			return
		}
		d.reportCarry(c, p, duty)
		return
	}
	uses, ok := d.currents(c, p)
	if !ok {
		return
	}
	carry := d.CarryA.Value
	duty, endless, drawer := demand.For(p).Hottest(d.poles, uses, tauS, carry)
	if drawer != "" && duty.EqA <= carry {
		demand.Unended(c, d.ID, endless, drawer, carry)
		return
	}
	d.reportCarry(c, p, duty)
}

func (d device) reportCarry(c *rules.Check, p *rules.Pass, duty demand.Duty) {
	carry := d.CarryA.Value
	mode := duty.ModeID()
	duty.In(c)
	duty.Explain(c.Working, d.ID, tauS, "from memory")
	c.Given("I_c", "rated current of "+d.ID+", continuous", carry, "A", d.field("carry_A"))
	c.Fix("use a disconnect rated at least %s A continuous", rules.Figure(rules.RoundUp(p.Required()*duty.EqA, 1)))
	if duty.Phase != nil {
		c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(carry), "%s: %s A %s, rated %s A continuous", d.ID, rules.Figure(duty.EqA), duty.Said(), rules.Figure(carry))
		return
	}
	if duty.Steps != nil {
		what := "the cycle of mode " + mode
		if duty.Cycle {
			what = "the declared cycle"
		}
		c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(carry), "%s: equivalent continuous current %s A over %s, rated %s A continuous",
			d.ID, rules.Figure(duty.EqA), what, rules.Figure(carry))
		return
	}
	c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(carry), "%s: %s A in mode %s, rated %s A continuous", d.ID, rules.Figure(duty.EqA), mode, rules.Figure(carry))
}
