package contactor

import (
	"math"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
)

func contactorShortTimeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-short-time-low",
		Family: family,
		Title:  "a contact carries a peak for longer than its short-time rating",
		Why: "Contacts withstand several times their rated current for a while, and the data sheet says how long. Beyond that " +
			"the contact spot melts, and the contactor is welded at the next attempt to open.",
		Relation: "for every mode with lasts_s, every step of the declared cycle and every controller's own peak and regeneration above carry_A: I <= the short-time rating for that duration, log-log between its points. " +
			"Nothing is assumed where there is no rating",
		Source:   "data sheet; the interpolation is that of short-time curves",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"contactors.contact.carry_A", "relays.contact.carry_A", "contactors.contact.short_time", "relays.contact.short_time",
			"controllers.peak_s", "modes.lasts_s", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a contactor with a higher short-time rating, or limit the peak in the controller",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.carry_A", Value: "80"},
			{Path: "contactors.main_contactor.contact.short_time", Value: `[{"A": 90, "s": 30}]`}}},
		Check: checkShortTime,
	}
}

func checkShortTime(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			evalShortTime(c, p, d)
		}
	}
}

func evalShortTime(c *rules.Check, p *rules.Pass, d device) {
	if !d.contact.CarryA.Known {
		c.NotChecked(d.contactPath("carry_A"), "%s: rated current of its contact is not given", d.id)
		return
	}
	currents, ok := d.currents(c, p)
	if !ok {
		return
	}
	carry := d.contact.CarryA.Value
	bursts := demand.For(p).Bursts(d.contacts, currents, carry)
	var worst, open *demand.DutyStep
	for i := range bursts {
		k := &bursts[i]
		limit, sure := d.shortTime(k)
		if k.A > carry && (!k.Limited() || k.A > limit && !sure) {
			open = k
			continue
		}
		if worst == nil || k.A/limit > worst.A/first(d.shortTime(worst)) {
			worst = k
		}
	}
	switch {
	case worst != nil && worst.A > first(d.shortTime(worst)) || open == nil && worst != nil:
		d.reportPeak(c, p, worst)
	case open != nil && !open.Limited():
		c.NotChecked(open.Path, "%s: %s A in %s for an unknown time, rated %s A continuous", d.id, rules.Figure(open.A), open.Name(), rules.Figure(carry))
	case open != nil && len(d.contact.ShortTime) == 0:
		c.NotChecked(d.contactPath("short_time"), "%s: %s A for %s s in %s, rated %s A continuous; short-time rating is not given",
			d.id, rules.Figure(open.A), rules.Figure(open.S), open.Name(), rules.Figure(carry))
	case open != nil:
		c.NotChecked(d.contactPath("short_time"), "%s: %s A for %s s in %s, its short-time ratings have no point at so short a time",
			d.id, rules.Figure(open.A), rules.Figure(open.S), open.Name())
	default:
		c.Holds(true, "%s: no mode exceeds its rated %s A continuous", d.id, rules.Figure(carry))
	}
}

// shortTime is what the contact withstands for the duration of a peak.
func (d device) shortTime(k *demand.DutyStep) (a float64, sure bool) {
	if !k.Limited() {
		return d.contact.CarryA.Value, false
	}
	if len(d.contact.ShortTime) == 0 {
		return d.contact.CarryA.Value, false
	}
	return capacity.ShortTimeA(d.contact, k.S)
}

func first(a float64, _ bool) float64 { return a }

// shortTimeFails reports whether the current of a mode is above the short-time
// rating for its duration.
func (d device) shortTimeFails(p *rules.Pass, u demand.Use) bool {
	s, _ := demand.Longest(p.Spec, u.Mode)
	if s == 0 {
		return false
	}
	limit, sure := d.shortTime(&demand.DutyStep{S: s})
	return sure && u.A > limit
}

func (d device) reportPeak(c *rules.Check, p *rules.Pass, k *demand.DutyStep) {
	c.In(k.ModeID(), k.At.String())
	limit := first(d.shortTime(k))
	c.Solved("I", "current in "+k.Name(), k.A, "A", k.At.String())
	c.Given("I_c", "rated current of the contact, continuous", d.contact.CarryA.Value, "A", d.contactPath("carry_A"))
	if !k.Limited() || k.A <= d.contact.CarryA.Value {
		c.AtMost(rules.Amperes(k.A), rules.Amperes(math.Max(limit, d.contact.CarryA.Value)), "%s: %s A in %s, rated %s A continuous",
			d.id, rules.Figure(k.A), k.Name(), rules.Figure(d.contact.CarryA.Value))
		return
	}
	c.Given("t", "how long it lasts", k.S, "s", k.Path)
	for i, r := range d.contact.ShortTime {
		c.GivenText("rating", "short-time rating", rules.Figure(r.A)+" A for "+rules.Figure(r.S)+" s", d.contactPath("short_time")+"."+strconv.Itoa(i))
	}
	c.Calc("I_st", "rated current for that time", "log-log between the ratings", "log-log at "+rules.Term(k.S)+" s", limit, "A")
	c.Fix("use a contact rated at least %s A for %s s", rules.Figure(rules.RoundUp(p.Required()*k.A, 1)), rules.Figure(k.S))
	c.AtMost(rules.Amperes(k.A), rules.Amperes(limit), "%s: %s A for %s s in %s, rated %s A for that time",
		d.id, rules.Figure(k.A), rules.Figure(k.S), k.Name(), rules.Figure(limit))
}
