package thermal

import (
	"cmp"
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
		v := h.evalHot(c, id, f, turns)
		if v != nil && h.overloaded(id, f) {
			c.Because(steadyRule, id)
		}
		return v
	})
}

// inAir is a conductor as rated in the air of a mode, with its thermal replica there.
type inAir struct {
	*capacity.Conductor
	heating *calc.Heating
	err     error // of the replica
}

// airs rates a conductor in the air of each mode that is asked for.
type airs struct {
	*heater
	id    string
	rated map[float64]inAir // by the temperature around the vehicle
}

// in is the conductor in the air of a step.
func (a *airs) in(s demand.DutyStep) (inAir, error) {
	m := s.AirMode()
	outside := capacity.AirAt(a.Pass, &a.Spec.Conductor(a.id).Base, m).OutsideC
	if r, ok := a.rated[outside]; ok {
		return r, nil
	}
	rated, err := capacity.DeratedIn(a.Pass, a.Subject(a.id, a.id).Working, a.id, m)
	if err != nil {
		return inAir{}, err
	}
	r := inAir{Conductor: rated}
	r.heating, r.err = a.heatings.Of(rated)
	a.rated[outside] = r
	return r, nil
}

// follow is how hot a turn makes the conductor, each step in its air; at is that of the
// hottest step.
func (a *airs) follow(t demand.DutyCycle) (hot capacity.Peak, at inAir, err error) {
	heatings := make([]*calc.Heating, len(t.Steps))
	for i, s := range t.Steps {
		r, err := a.in(s)
		if err = cmp.Or(err, r.err); err != nil {
			return hot, at, err
		}
		heatings[i] = r.heating
	}
	limit, _ := a.in(t.Steps[0])
	hot = limit.Follow(heatings, t.Intervals())
	at, err = a.in(t.Steps[hot.Step])
	return hot, at, err
}

// share is the rise that a peak makes over the permitted one.
func (r inAir) share(p capacity.Peak) float64 {
	return (p.PeakC - r.AmbientC) / (r.LimitC - r.AmbientC)
}

func (h *heater) evalHot(c *rules.Check, id string, f *demand.Carried, turns []demand.DutyCycle) *verdict {
	a := &airs{heater: h, id: id, rated: map[float64]inAir{}}
	if done := h.withoutTime(c, a, f, turns); done {
		return nil
	}
	if len(turns) == 0 { // it may last for ever
		turns = []demand.DutyCycle{{Steps: []demand.DutyStep{f.Unlimited}}}
	}
	var worst demand.DutyCycle
	var hot capacity.Peak
	var at inAir
	for _, t := range turns {
		p, r, err := a.follow(t)
		if err != nil {
			c.NotChecked(h.Spec.Conductor(id).Path(), "the heating of %s cannot be computed: %v", id, err)
			return nil
		}
		if worst.Steps == nil || p.OutOfRange && !hot.OutOfRange || p.OutOfRange == hot.OutOfRange && r.share(p) > at.share(hot) {
			worst, hot, at = t, p, r
		}
	}
	step := worst.Steps[hot.Step]
	r, err := capacity.DeratedIn(h.Pass, c.Working, id, step.AirMode())
	if err != nil {
		unrated(c, id, err)
		return nil
	}
	v := h.reportHot(c, r, at.heating, worst, hot)
	if short, ok := r.Short(h.Pass, step.A); ok && v.headroom < 1 && short.Reaches() && short.HottestC <= short.OwnC {
		easeShort(c, v, short)
	}
	return v
}

// withoutTime reports a check as not made where a current above the ampacity has no
// duration and what has one is below it, or where the ampacity is not known; and says
// whether it did.
func (h *heater) withoutTime(c *rules.Check, a *airs, f *demand.Carried, turns []demand.DutyCycle) bool {
	above := func(s demand.DutyStep) (iz float64, ok bool, err error) {
		r, err := a.in(s)
		if err != nil {
			return 0, false, err
		}
		iz = max(0, r.IzA)
		return iz, s.A > iz, nil
	}
	for _, t := range turns {
		_, over, err := above(t.Greatest())
		if err != nil {
			unrated(c, a.id, err)
		}
		if err != nil || over {
			return err != nil
		}
	}
	if s := f.Unlimited; s.A > 0 {
		iz, over, err := above(s)
		if err != nil {
			unrated(c, a.id, err)
		} else if over {
			c.NotChecked(s.Path, "%s: %s A (%s), ampacity %s A; the duration of that peak is not given",
				a.id, rules.Figure(s.A), s.Name(), rules.Figure(iz))
		}
		if err != nil || over {
			return true
		}
	}
	if e := f.Endless; e.A > 0 {
		if iz, over, err := above(demand.DutyStep{Use: e}); err == nil && over {
			c.NotChecked(e.Mode.Path()+".lasts_s", "%s: %s A in mode %s, ampacity %s A; the duration of that mode is not given",
				a.id, rules.Figure(e.A), e.Mode.ID, rules.Figure(iz))
			return true
		}
	}
	return false
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
