package demand

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Hottest finds, of the modes and the declared cycle, what heats an element with a
// time constant in s most; see [Cycles]. A mode above a limit in A that nothing ends
// although its controller, drawer, cannot keep it up is left out: the greatest of
// those is endless. Loads that are only briefly on heat for that time.
func (d *Demands) Hottest(e Element, uses []Use, tauS, limitA float64) (duty Duty, endless Use, drawer string) {
	var known []Use
	uses, brief := d.apart(e, uses)
	for _, u := range uses {
		by := ""
		if u.A > limitA {
			by = d.Overdrawn(e, u)
		}
		switch {
		case by == "":
			known = append(known, u)
		case circuit.Implied(u.Mode): // it is told of the declared mode
		case u.A >= endless.A:
			endless, drawer = u, by
		}
	}
	duty, _ = Hottest(d.Spec, known, tauS)
	continuous, cycles := Cycles(d.Spec, known)
	for _, step := range brief {
		if t, valid := Before(step, continuous, cycles).duty(tauS); valid && t.EqA > duty.EqA*(1+sameA) {
			duty = t
		}
	}
	return duty, endless, drawer
}

// apart takes the loads that are only briefly on out of the uses of an element in the
// modes without an end, and lists these modes with them on.
func (d *Demands) apart(e Element, uses []Use) (steady []Use, brief []DutyStep) {
	steady = slices.Clone(uses)
	for _, m := range d.states() {
		i := slices.IndexFunc(steady, func(u Use) bool { return u.Mode == m.Mode })
		if i < 0 || len(m.brief) == 0 {
			continue
		}
		if in, failed := d.inMode(e, m); failed == nil && in.Brief != "" {
			steady[i], brief = in.Steady, append(brief, in.briefStep())
		}
	}
	return steady, brief
}

// Unended reports a check as not made for a mode that is above a limit in A and
// lacks its duration; see [Demands.Hottest].
func Unended(c *rules.Check, id string, endless Use, drawer string, limitA float64) {
	c.NotChecked(endless.Mode.Path()+".lasts_s", "%s: %s A in mode %s, limit %s A continuous; %s cannot draw that continuously, so give the mode's duration",
		id, rules.Figure(endless.A), endless.Mode.ID, rules.Figure(limitA), drawer)
}

// Bursts lists what an element carries for a time: each mode with a duration, or its
// longest step of the declared cycle; steps of that which follow each other above
// what it carries continuously, in A; loads that are only briefly on; and the own peaks
// of the controllers that it feeds, of +Inf seconds where nothing says how long.
func (d *Demands) Bursts(e Element, uses []Use, continuousA float64) (out []DutyStep) {
	_, out = d.apart(e, uses)
	for _, u := range uses {
		if s, path := Longest(d.Spec, u.Mode); s > 0 && u.A != 0 {
			out = append(out, DutyStep{Use: u, S: s, Path: path})
		}
	}
	out = append(out, runs(d.Spec, uses, continuousA)...)
	return append(out, d.ownSteps(e)...)
}

// runs lists the steps of the declared cycle that follow each other with more than
// what is carried continuously, each run as its root mean square for all of its
// time: one heats on where the other ends.
func runs(spec *schema.Spec, uses []Use, continuousA float64) (out []DutyStep) {
	cycle := spec.Cycle
	in := make([]Use, len(cycle))
	begin := -1 // a step that interrupts, so that no run goes beyond the end
	for i, step := range cycle {
		for _, u := range uses {
			if u.Mode.ID == step.Mode {
				in[i] = u
			}
		}
		if in[i].A <= continuousA {
			begin = i
		}
	}
	if begin < 0 {
		return nil // it never rests: what it carries continuously is exceeded already
	}
	var run []calc.Interval
	for n := 1; n <= len(cycle); n++ {
		i := (begin + n) % len(cycle)
		if in[i].A > continuousA {
			run = append(run, calc.Interval{CurrentA: in[i].A, S: cycle[i].ForS})
			continue
		}
		if len(run) > 1 {
			rms, s, _ := calc.RMS(run) // the steps have a duration
			last := in[(i+len(cycle)-1)%len(cycle)]
			last.A = rms
			out = append(out, DutyStep{Use: last, S: s, Path: "cycle", What: "steps of the cycle that follow each other, as their r.m.s. current"})
		}
		run = nil
	}
	return out
}

// Limited reports whether the spec says for how long the current of a step lasts.
func (s DutyStep) Limited() bool { return !math.IsInf(s.S, 1) }
