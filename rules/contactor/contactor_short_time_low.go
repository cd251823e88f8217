package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/contact"
	"example.org/headroom/schema"
)

func contactorShortTimeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-short-time-low",
		Family: family,
		Title:  "a contact carries a peak for longer than it may",
		Why: "Contacts carry several times their rating for a while, and the data sheet says how long. Beyond that " +
			"the contact spot melts, and the contactor is welded at the next attempt to open.",
		Relation: "for every mode with lasts_s, every step of the declared cycle and every controller's own peak and regeneration above carry_A: I <= the short-time rating for that duration, log-log between its points. " +
			"Nothing is assumed where there is no rating",
		Source:   "data sheet; the interpolation is that of short-time curves",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a contactor with a higher short-time rating, or limit the peak in the controller",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.contact.carry_A", Value: "80"},
			{Path: "contactors.main_contactor.contact.short_time", Value: `[{"A": 90, "s": 30}]`}}},
		Check: checkShortTime,
	}
}

func checkShortTime(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			judgeShortTime(c, p, d)
		}
	}
}

// peak is a current that a contact carries for a time.
type peak struct {
	what         string // as a message names it
	mode         string
	corner       string
	a            float64
	s            schema.Number
	aPath, sPath string // aPath is "" where the circuit was solved
}

func judgeShortTime(c *rules.Check, p *rules.Pass, d device) {
	if capacity.CycleUnknown(c, p.Spec) {
		return
	}
	currents, failed := d.currents(p)
	switch missing := d.unsureSag(p); {
	case failed != nil:
		c.Unsettled(failed, d.contactIDs()...)
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
	peaks := d.peaks(p, currents)
	carry := d.contact.CarryA.Value
	var worst, open *peak
	for i := range peaks {
		k := &peaks[i]
		limit, sure := d.shortTime(k)
		if k.a > carry && (!k.s.Known || k.a > limit && !sure) {
			open = k
			continue
		}
		if worst == nil || k.a/limit > worst.a/first(d.shortTime(worst)) {
			worst = k
		}
	}
	switch {
	case worst != nil && worst.a > first(d.shortTime(worst)) || open == nil && worst != nil:
		d.reportPeak(c, worst)
	case open != nil && !open.s.Known:
		c.NotChecked(open.sPath, "%s carries %s A in %s, above its %s A, for an unknown time", d.id, rules.Figure(open.a), open.what, rules.Figure(carry))
	case open != nil && len(d.contact.ShortTime) == 0:
		c.NotChecked(d.contactPath("short_time"), "%s carries %s A for %s s in %s, above its %s A, and has no short-time rating",
			d.id, rules.Figure(open.a), rules.Figure(open.s.Value), open.what, rules.Figure(carry))
	case open != nil:
		c.NotChecked(d.contactPath("short_time"), "%s carries %s A for %s s in %s; its short-time ratings have no point at so short a time",
			d.id, rules.Figure(open.a), rules.Figure(open.s.Value), open.what)
	default:
		c.Holds(true, "no mode asks more of %s than it carries continuously, %s A", d.id, rules.Figure(carry))
	}
}

// peaks lists what a contact carries for a time: each mode with a duration, or
// its longest step of the declared cycle, steps of that which follow each other
// above what it carries continuously, and the own peak of each controller that it
// feeds.
func (d device) peaks(p *rules.Pass, currents []carried) []peak {
	var out []peak
	for _, k := range currents {
		if s, path := capacity.Longest(p.Spec, k.mode); s > 0 && k.a != 0 {
			out = append(out, peak{what: "mode " + k.mode.ID, mode: k.mode.ID, corner: k.at.String(), a: math.Abs(k.a),
				s: schema.Some(s), sPath: path})
		}
	}
	out = append(out, d.runs(p, currents)...)
	for _, id := range d.controllers(p) {
		for _, limit := range capacity.OwnLimits(p.Spec.Controllers[id]) {
			out = append(out, peak{what: limit.Of(id), a: limit.A, s: limit.S, aPath: limit.Path, sPath: limit.SPath})
		}
	}
	return out
}

// runs lists the steps of the declared cycle that follow each other with more
// than the contact carries continuously, each run as its root mean square for all of
// its time: one heats on where the other ends.
func (d device) runs(p *rules.Pass, currents []carried) []peak {
	cycle := p.Spec.Cycle
	amps := make([]float64, len(cycle))
	begin := -1 // a step that interrupts, so that no run goes beyond the end
	for i, step := range cycle {
		for _, k := range currents {
			if k.mode.ID == step.Mode {
				amps[i] = math.Abs(k.a)
			}
		}
		if amps[i] <= d.contact.CarryA.Value {
			begin = i
		}
	}
	if begin < 0 {
		return nil // it never rests: what it carries continuously is exceeded already
	}
	var out []peak
	var run []calc.Interval
	for n := 1; n <= len(cycle); n++ {
		i := (begin + n) % len(cycle)
		if amps[i] > d.contact.CarryA.Value {
			run = append(run, calc.Interval{CurrentA: amps[i], S: cycle[i].ForS})
			continue
		}
		if len(run) > 1 {
			rms, s, _ := calc.RMS(run) // the steps have a duration
			out = append(out, peak{what: "steps of the cycle that follow each other, as their root mean square", mode: cycle[(i+len(cycle)-1)%len(cycle)].Mode,
				corner: "the greatest over the states of the supply", a: rms, s: schema.Some(s), sPath: "cycle"})
		}
		run = nil
	}
	return out
}

// shortTime is what the contact carries for the duration of a peak.
func (d device) shortTime(k *peak) (a float64, sure bool) {
	if !k.s.Known {
		return d.contact.CarryA.Value, false
	}
	if len(d.contact.ShortTime) == 0 {
		return d.contact.CarryA.Value, false
	}
	return contact.ShortTimeA(d.contact, k.s.Value)
}

func first(a float64, _ bool) float64 { return a }

// shortTimeFails reports whether the current of a mode is above the short-time
// rating for its duration.
func (d device) shortTimeFails(p *rules.Pass, u capacity.Use) bool {
	s, _ := capacity.Longest(p.Spec, u.Mode)
	limit, sure := d.shortTime(&peak{s: schema.Number{Value: s, Known: s > 0}})
	return sure && u.A > limit
}

func (d device) reportPeak(c *rules.Check, k *peak) {
	c.In(k.mode, k.corner)
	limit := first(d.shortTime(k))
	if k.aPath == "" {
		c.Solved("I", "current in "+k.what, k.a, "A", k.corner)
	} else {
		c.Given("I", k.what, k.a, "A", k.aPath)
	}
	c.Given("I_c", "current that the contact carries continuously", d.contact.CarryA.Value, "A", d.contactPath("carry_A"))
	if !k.s.Known || k.a <= d.contact.CarryA.Value {
		c.AtMost(rules.Amperes(k.a), rules.Amperes(math.Max(limit, d.contact.CarryA.Value)), "%s carries %s A in %s; it carries %s A continuously",
			d.id, rules.Figure(k.a), k.what, rules.Figure(d.contact.CarryA.Value))
		return
	}
	c.Given("t", "how long it lasts", k.s.Value, "s", k.sPath)
	for i, r := range d.contact.ShortTime {
		c.GivenText("rating", "short-time rating", rules.Figure(r.A)+" A for "+rules.Figure(r.S)+" s", d.contactPath("short_time")+"."+itoa(i))
	}
	c.Calc("I_st", "current that it carries for that time", "log-log between the ratings", "log-log at "+rules.Term(k.s.Value)+" s", limit, "A")
	c.Fix("use a contact that carries %s A for %s s", rules.Figure(rules.RoundUp(k.a, 1)), rules.Figure(k.s.Value))
	c.AtMost(rules.Amperes(k.a), rules.Amperes(limit), "%s carries %s A for %s s in %s; for that time it may carry %s A",
		d.id, rules.Figure(k.a), rules.Figure(k.s.Value), k.what, rules.Figure(limit))
}
