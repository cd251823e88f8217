package disconnect

import (
	"math"
	"slices"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/contact"
	"example.org/headroom/schema"
)

func disconnectShortTimeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-short-time-low",
		Family: family,
		Title:  "a disconnect carries a peak for longer than it may",
		Why: "A disconnect bears more than its rating for a while, and the data sheet says for how long. Beyond that the contact spot melts: " +
			"the handle no longer moves, or it moves and the poles stay joined.",
		Relation: "for every mode and every step of the cycle above carry_A that has a duration, and the own peak and regeneration of every controller behind it: " +
			"I <= the short-time rating for that duration, log-log between its points. Nothing is assumed where there is no rating",
		Source:   "data sheet; the interpolation is that of short-time curves",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a disconnect with a higher short-time rating, or limit the peak in the controller",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.carry_A", Value: "80"},
			{Path: "disconnects.isolator.short_time", Value: `[{"A": 90, "s": 30}]`}}},
		Check: check(judgeShortTime),
	}
}

// peak is a current that a disconnect carries for a time.
type peak struct {
	what, mode, corner string
	a                  float64
	s                  schema.Number
	aPath, sPath       string // aPath is "" where the circuit was solved
}

func judgeShortTime(c *rules.Check, p *rules.Pass, d device) {
	if !d.CarryA.Known {
		c.NotChecked(d.field("carry_A"), "%s states no current that it carries", d.ID)
		return
	}
	uses, ok := d.currents(c, p)
	if !ok || capacity.CycleUnknown(c, p.Spec) {
		return
	}
	worst, open := d.worstPeak(d.peaks(p, uses))
	switch {
	case worst != nil && worst.a > d.limit(*worst) || open == nil && worst != nil:
		d.reportPeak(c, *worst)
	case open == nil:
		c.Holds(true, "no peak goes through %s", d.ID)
	case !open.s.Known:
		c.NotChecked(open.sPath, "%s carries %s A in %s, above its %s A, for an unknown time", d.ID, rules.Figure(open.a), open.what, rules.Figure(d.CarryA.Value))
	default:
		c.NotChecked(d.field("short_time"), "%s carries %s A for %s s in %s, above its %s A, and no short-time rating covers that",
			d.ID, rules.Figure(open.a), rules.Figure(open.s.Value), open.what, rules.Figure(d.CarryA.Value))
	}
}

// worstPeak finds the peak with the least headroom, and one above carry_A that
// cannot be judged.
func (d device) worstPeak(peaks []peak) (worst, open *peak) {
	for i := range peaks {
		k := &peaks[i]
		if k.a > d.CarryA.Value && !d.judgeable(*k) {
			open = k
			continue
		}
		if worst == nil || k.a/d.limit(*k) > worst.a/d.limit(*worst) {
			worst = k
		}
	}
	return worst, open
}

// judgeable reports whether the ratings say what holds for the peak's duration.
func (d device) judgeable(k peak) bool {
	if !k.s.Known || len(d.ShortTime) == 0 {
		return false
	}
	limit, sure := contact.ShortTimeA(&d.Contact, k.s.Value)
	return sure || k.a <= limit
}

// limit is what the disconnect carries for the duration of a peak, in A.
func (d device) limit(k peak) float64 {
	if !k.s.Known {
		return d.CarryA.Value
	}
	a, _ := contact.ShortTimeA(&d.Contact, k.s.Value)
	return a
}

// peaks lists what goes through the disconnect for a time: the modes with a
// duration, the steps of the cycle, and the own peaks of the controllers that
// it cuts off.
func (d device) peaks(p *rules.Pass, uses []contact.Use) []peak {
	var out []peak
	for _, u := range uses {
		if seconds, path := capacity.Longest(p.Spec, u.Mode); seconds > 0 && u.A != 0 {
			out = append(out, peak{what: "mode " + u.Mode.ID, mode: u.Mode.ID, corner: u.At.String(), a: math.Abs(u.A), s: schema.Some(seconds), sPath: path})
		}
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if k.Spare || !slices.ContainsFunc(uses, func(u contact.Use) bool { return d.feeds(p, u, id) }) {
			continue
		}
		for _, limit := range capacity.OwnLimits(k) {
			out = append(out, peak{what: limit.Of(id), a: limit.A, s: limit.S, aPath: limit.Path, sPath: limit.SPath})
		}
	}
	return out
}

// feeds reports whether a controller draws its current through the disconnect
// alone in a mode.
func (d device) feeds(p *rules.Pass, u contact.Use, controller string) bool {
	return u.A != 0 && u.Mode.Draw[controller] != nil &&
		slices.Contains(d.poles.Behind(p, p.Circuit.Solve(u.At)), p.Circuit.Edge(controller))
}

func (d device) reportPeak(c *rules.Check, k peak) {
	c.In(k.mode, k.corner)
	if k.aPath == "" {
		c.Solved("I", "current in "+k.what, k.a, "A", k.corner)
	} else {
		c.Given("I", k.what, k.a, "A", k.aPath)
	}
	carry := c.Given("I_c", "current that "+d.ID+" carries continuously", d.CarryA.Value, "A", d.field("carry_A"))
	if k.a <= carry {
		c.AtMost(rules.Amperes(k.a), rules.Amperes(carry), "%s carries %s A in %s; it carries %s A continuously", d.ID, rules.Figure(k.a), k.what, rules.Figure(carry))
		return
	}
	c.Given("t", "how long it lasts", k.s.Value, "s", k.sPath)
	for i, r := range d.ShortTime {
		c.GivenText("rating", "short-time rating", rules.Figure(r.A)+" A for "+rules.Figure(r.S)+" s", d.field("short_time")+"."+strconv.Itoa(i))
	}
	limit := c.Calc("I_st", "current that it carries for that time", "log-log between the ratings", "log-log at "+rules.Term(k.s.Value)+" s", d.limit(k), "A")
	c.Fix("use a disconnect that carries %s A for %s s", rules.Figure(rules.RoundUp(k.a, 1)), rules.Figure(k.s.Value))
	c.AtMost(rules.Amperes(k.a), rules.Amperes(limit), "%s carries %s A for %s s in %s; for that time it may carry %s A",
		d.ID, rules.Figure(k.a), rules.Figure(k.s.Value), k.what, rules.Figure(limit))
}
