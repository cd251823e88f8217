package thermal

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
)

// Hot checks how hot the peaks of the drive make the conductors of a kind: the
// temperature at the end of each peak, from the hot state that the cycle leaves,
// against the limits of insulation and terminals. The measure is the rise of temperature,
// of a small peak as of a great one, so that a thinner conductor never shows more
// headroom. What is too much continuously already,
// by the rule of that id, follows from that.
func Hot(p *rules.Pass, kind, steadyRule string) {
	h := newHeater(p)
	h.conductors(kind, func(c *rules.Check, id string) *verdict {
		f := h.Of(c, id)
		if f == nil {
			return nil
		}
		turns := f.Peaking()
		if len(turns) == 0 && f.Unlimited.A == 0 {
			return nil // it carries nothing but what it carries continuously
		}
		r, err := capacity.Derated(h.Pass, c.Working, id)
		if err != nil {
			unrated(c, id, err)
			return nil
		}
		v := h.evalHot(c, r, f, turns)
		if v != nil && f.Mean().A > r.IzA {
			c.Because(steadyRule, id)
		}
		return v
	})
}

func (h *heater) evalHot(c *rules.Check, r *capacity.Conductor, f *demand.Carried, turns []demand.DutyCycle) *verdict {
	iz := max(0, r.IzA)
	var greatest demand.DutyStep
	for _, t := range turns {
		if s := t.Greatest(); s.A > greatest.A {
			greatest = s
		}
	}
	switch {
	case greatest.A <= iz && f.Unlimited.A > iz:
		s := f.Unlimited
		c.NotChecked(s.Path, "%s: %s A (%s), ampacity %s A; the duration of that peak is not given",
			r.ID, rules.Figure(s.A), s.Name(), rules.Figure(iz))
		return nil
	case greatest.A <= iz && f.Endless.A > iz:
		c.NotChecked(f.Endless.Mode.Path()+".lasts_s", "%s: %s A in mode %s, ampacity %s A; the duration of that mode is not given",
			r.ID, rules.Figure(f.Endless.A), f.Endless.Mode.ID, rules.Figure(iz))
		return nil
	case len(turns) == 0: // it may last for ever
		turns = []demand.DutyCycle{{Steps: []demand.DutyStep{f.Unlimited}}}
	}
	heating, err := h.heatings.Of(r)
	if err != nil {
		c.NotChecked(r.Path, "the heating of %s cannot be computed: %v", r.ID, err)
		return nil
	}
	var worst demand.DutyCycle
	var hot capacity.Peak
	for _, t := range turns {
		p := r.Follow(heating, t.Intervals())
		if worst.Steps == nil || p.OutOfRange && !hot.OutOfRange || p.OutOfRange == hot.OutOfRange && p.PeakC > hot.PeakC {
			worst, hot = t, p
		}
	}
	v := h.reportHot(c, r, heating, worst, hot)
	step := worst.Steps[hot.Step]
	if short, ok := r.Short(h.Pass, step.A); ok && v.headroom < 1 && short.Reaches() && short.HottestC <= short.OwnC {
		easeShort(c, v, short)
	}
	return v
}

// easeShort makes a note of a finding on a conductor so short that its terminals
// carry off the heat of its peak: the replica of a long one says too much of it.
func easeShort(c *rules.Check, v *verdict, s capacity.Short) {
	give := v.give
	v.give = func() {
		c.Level(rules.Note)
		s.Explain(c.Working)
		give()
	}
}

func (h *heater) reportHot(c *rules.Check, r *capacity.Conductor, heating *calc.Heating, t demand.DutyCycle, hot capacity.Peak) *verdict {
	step := t.Steps[hot.Step]
	c.In(step.ModeID(), "")
	terms := t.Explain(c.Working, r.ID)
	text := terms[0]
	for _, s := range terms[1:] {
		text += ", " + s
	}
	c.Calc("T_0", "temperature at the start of "+step.Name()+" once the cycle repeats: the heat balance of I_z and the heat capacity, step by step",
		"C dT/dt = I^2 R'(T) - W(T), the equation behind IEC 60255-149", text, hot.FromC, "C")
	allowed := r.LimitC - r.AmbientC
	v := &verdict{demand: step.A, mode: step.ModeID()}
	if hot.OutOfRange {
		v.headroom = allowed / (hot.PeakC - r.AmbientC)
		v.give = func() {
			c.Fix("%s, or shorten the peak", h.thicker(r, step.A))
			c.AtMost(rules.Kelvins(hot.PeakC-r.AmbientC), rules.Kelvins(allowed), "%s: above %s C after %s at %s A (%s), limit %s C",
				r.ID, rules.Figure(hot.PeakC), Span(step.S), rules.Figure(step.A), step.Name(), rules.Figure(r.LimitC))
		}
		return v
	}
	c.Calc("T_p", "temperature at the end of the peak", "as T_0", rules.Term(step.A)+" A for "+rules.Term(step.S)+" s from "+rules.Term(hot.FromC)+" C", hot.PeakC, "C")
	if hot.PeakC > hot.FromC+1 {
		r.ExplainTimeBetween(c.Working, heating, step.A, hot.FromC, hot.PeakC)
	}
	rise := c.Calc("dT", "rise above the air", "T_p - T_a", rules.Term(hot.PeakC)+" - "+rules.Term(r.AmbientC), hot.PeakC-r.AmbientC, "K")
	c.Calc("dT_c", "permitted rise", "T_c - T_a", rules.Term(r.LimitC)+" - "+rules.Term(r.AmbientC), allowed, "K")
	v.headroom = allowed / max(rise, 1e-9)
	more := "the peak may last continuously"
	if !math.IsInf(hot.LeftS, 1) {
		more = "the peak may last another " + Span(spanDown(hot.LeftS))
	}
	v.give = func() {
		message := fmt.Sprintf("%s: %s C after %s at %s A (%s), limit %s C", r.ID, rules.Figure(hot.PeakC), Span(step.S), rules.Figure(step.A), step.Name(), rules.Figure(r.LimitC))
		if hot.PeakC > r.LimitC {
			reach := heating.TimeTo(step.A, hot.FromC, r.LimitC)
			c.Fix("%s, or shorten the peak to at most %s", h.thicker(r, step.A), Span(spanDown(reach)))
			c.AtMost(rules.Kelvins(rise), rules.Kelvins(allowed), "%s; the limit is reached after %s", message, Span(spanDown(reach)))
			return
		}
		c.AtMost(rules.Kelvins(rise), rules.Kelvins(allowed), "%s; %s", message, more)
	}
	return v
}

// spanDown rounds a time in s down to what [Span] shows of it: a time that may not be
// exceeded.
func spanDown(s float64) float64 {
	if s < 100 {
		return rules.RoundDown(s, 0.1)
	}
	return math.Floor(s)
}

// Span renders a time as a person says it: "4 min 20 s".
func Span(s float64) string {
	if math.IsInf(s, 1) {
		return "unlimited time"
	}
	if s < 100 {
		return rules.Figure(math.Round(10*s)/10) + " s"
	}
	whole := int(math.Round(s))
	h, m, rest := whole/3600, whole/60%60, whole%60
	switch {
	case h > 0 && m == 0:
		return fmt.Sprintf("%d h", h)
	case h > 0:
		return fmt.Sprintf("%d h %d min", h, m)
	case rest == 0:
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d min %d s", m, rest)
}
