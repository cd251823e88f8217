package disconnect

import (
	"slices"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
)

func disconnectShortTimeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-short-time-low",
		Family: family,
		Title:  "a disconnect carries a peak for longer than its short-time rating",
		Why: "A disconnect withstands more than its continuous rating for a while, and the data sheet says for how long. Beyond that the contact spot melts: " +
			"the handle no longer moves, or it moves and the poles stay welded.",
		Relation: "for every mode and every step of the cycle above carry_A that has a duration, and the own peak and regeneration of every controller behind it: " +
			"I <= the short-time rating for that duration, log-log between its points. Nothing is assumed where there is no rating",
		Source:   "data sheet; the interpolation is that of short-time curves",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"disconnects.carry_A", "disconnects.short_time", "controllers.peak_s", "modes.lasts_s", "batteries.resistance_mOhm",
			"batteries.short_circuit_A",
		},
		Fix: "use a disconnect with a higher short-time rating, or limit the peak in the controller",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.carry_A", Value: "80"},
			{Path: "disconnects.isolator.short_time", Value: `[{"A": 90, "s": 30}]`}}},
		Check: check(evalShortTime),
	}
}

func evalShortTime(c *rules.Check, p *rules.Pass, d device) {
	if !d.CarryA.Known {
		c.NotChecked(d.field("carry_A"), "%s: rated current is not given", d.ID)
		return
	}
	uses, ok := d.currents(c, p)
	if !ok {
		return
	}
	worst, open := d.worstPeak(demand.For(p).Bursts(d.poles, uses, d.CarryA.Value))
	switch {
	case worst != nil && worst.A > d.limit(*worst) || open == nil && worst != nil:
		d.reportPeak(c, p, *worst)
	case open == nil:
		c.Holds(true, "%s: carries no peak", d.ID)
	case !open.Limited():
		c.NotChecked(open.Path, "%s: %s A in %s for an unknown time, rated %s A continuous", d.ID, rules.Figure(open.A), open.Name(), rules.Figure(d.CarryA.Value))
	default:
		c.NotChecked(d.field("short_time"), "%s: %s A for %s s in %s, rated %s A continuous; no short-time rating covers that",
			d.ID, rules.Figure(open.A), rules.Figure(open.S), open.Name(), rules.Figure(d.CarryA.Value))
	}
}

// worstPeak finds the peak with the least headroom, and one above carry_A that
// no rating covers.
func (d device) worstPeak(bursts []demand.DutyStep) (worst, open *demand.DutyStep) {
	for i := range bursts {
		k := &bursts[i]
		if k.A > d.CarryA.Value && !d.covers(*k) {
			open = k
			continue
		}
		if worst == nil || k.A/d.limit(*k) > worst.A/d.limit(*worst) {
			worst = k
		}
	}
	return worst, open
}

// covers reports whether the ratings say what holds for the peak's duration.
func (d device) covers(k demand.DutyStep) bool {
	if !k.Limited() || len(d.ShortTime) == 0 {
		return false
	}
	limit, sure := capacity.ShortTimeA(&d.Contact, k.S)
	return sure || k.A <= limit
}

// limit is what the disconnect withstands for the duration of a peak, in A.
func (d device) limit(k demand.DutyStep) float64 {
	if !k.Limited() {
		return d.CarryA.Value
	}
	a, _ := capacity.ShortTimeA(&d.Contact, k.S)
	return a
}

// feeds reports whether a controller draws its current through the disconnect
// alone in a mode.
func (d device) feeds(p *rules.Pass, u demand.Use, controller string) bool {
	return u.A != 0 && u.Mode.Draw[controller] != nil &&
		slices.Contains(p.Circuit.Behind(p.Circuit.Solve(u.At), d.poles...), p.Circuit.Edge(controller))
}

func (d device) reportPeak(c *rules.Check, p *rules.Pass, k demand.DutyStep) {
	c.In(k.ModeID(), k.At.String())
	c.Solved("I", "current in "+k.Name(), k.A, "A", k.At.String())
	carry := c.Given("I_c", "rated current of "+d.ID+", continuous", d.CarryA.Value, "A", d.field("carry_A"))
	if k.A <= carry {
		c.AtMost(rules.Amperes(k.A), rules.Amperes(carry), "%s: %s A in %s, rated %s A continuous", d.ID, rules.Figure(k.A), k.Name(), rules.Figure(carry))
		return
	}
	c.Given("t", "how long it lasts", k.S, "s", k.Path)
	for i, r := range d.ShortTime {
		c.GivenText("rating", "short-time rating", rules.Figure(r.A)+" A for "+rules.Figure(r.S)+" s", d.field("short_time")+"."+strconv.Itoa(i))
	}
	limit := c.Calc("I_st", "rated current for that time", "log-log between the ratings", "log-log at "+rules.Term(k.S)+" s", d.limit(k), "A")
	c.Fix("use a disconnect rated at least %s A for %s s", rules.Figure(rules.RoundUp(p.Required()*k.A, 1)), rules.Figure(k.S))
	c.AtMost(rules.Amperes(k.A), rules.Amperes(limit), "%s: %s A for %s s in %s, rated %s A for that time",
		d.ID, rules.Figure(k.A), rules.Figure(k.S), k.Name(), rules.Figure(limit))
}
