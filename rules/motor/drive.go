package motor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// drive is a motor with the controller that its phases come from.
type drive struct {
	*schema.Motor
	by     *schema.Controller
	cables []*circuit.Edge // between them
}

// drives lists the motors that a controller drives, by id.
func drives(p *rules.Pass) (out []drive) {
	for id, m := range schema.Sorted(p.Spec.Motors) {
		if by := p.Circuit.DrivenBy(id); by != "" && !m.Spare {
			out = append(out, drive{m, p.Spec.Controllers[by], p.Circuit.PhaseCables(by, id)})
		}
	}
	return out
}

// each runs a check over the motors whose cables are sound.
func each(p *rules.Pass, check func(*rules.Check, drive)) {
	for _, d := range drives(p) {
		if c := p.Subject(d.ID, d.Path()); !p.Unsound(c, d.ID+".u", d.by.ID+".u") {
			check(c, d)
		}
	}
}

// eachCable runs a check over the cables between controllers and motors.
func eachCable(p *rules.Pass, check func(*rules.Check, drive, string)) {
	for _, d := range drives(p) {
		for _, e := range d.cables {
			path := "wires." + e.ID
			if e.Kind == circuit.BusbarEdge {
				path = "busbars." + e.ID
			}
			if c := p.Subject(e.ID, path); !p.Unsound(c, d.ID+".u", d.by.ID+".u") {
				check(c, d, e.ID)
			}
		}
	}
}

// continuousA is the continuous phase current of the controller, in A rms; not ok,
// with the check reported as not made, where it is not stated.
func (d drive) continuousA(c *rules.Check) (a float64, ok bool) {
	if !d.by.PhaseContinuousA.Known {
		c.NotChecked(d.by.Path()+".phase_continuous_A", "%s: the phase current that %s lets flow continuously is not stated", d.ID, d.by.ID)
		return 0, false
	}
	return d.rms(c, "I_ph", "continuous phase current of "+d.by.ID, d.by.PhaseContinuousA.Value, "phase_continuous_A"), true
}

// peakA is the peak phase current of the controller in A rms, and its time in s; 0 A
// where nothing says that it has a peak.
func (d drive) peakA(c *rules.Check) (a, s float64, ok bool) {
	if !d.by.PhasePeakA.Known {
		if !d.hasPeak() {
			return 0, 0, true
		}
		c.NotChecked(d.by.Path()+".phase_peak_A", "%s: the peak phase current that %s lets flow is not stated", d.ID, d.by.ID)
		return 0, 0, false
	}
	if !d.by.PhasePeakS.Known {
		c.NotChecked(d.by.Path()+".phase_peak_s", "%s: for how long %s lets its peak phase current flow is not stated", d.ID, d.by.ID)
		return 0, 0, false
	}
	a = d.rms(c, "I_pk", "peak phase current of "+d.by.ID, d.by.PhasePeakA.Value, "phase_peak_A")
	return a, c.Given("t_pk", "how long that may last", d.by.PhasePeakS.Value, "s", d.by.Path()+".phase_peak_s"), true
}

// hasPeak reports whether the controller has a peak beyond its continuous phase current, as
// one whose current from the battery has one.
func (d drive) hasPeak() bool {
	return d.by.PhasePeakA.Known || d.by.PhasePeakS.Known || d.by.BatteryPeakA.Known
}

// rms adds a phase current of the controller to the working and returns it in A rms.
func (d drive) rms(c *rules.Check, symbol, what string, a float64, field string) float64 {
	if d.by.PhaseIs != "peak" {
		return c.Given(symbol, what+", rms", a, "A", d.by.Path()+"."+field)
	}
	c.Given("I_pk", what+", peak of the sine", a, "A", d.by.Path()+"."+field)
	return c.Line(symbol, what+", rms", calc.SineRMS(a))
}

// share is the part of the phase current that one of the cables carries: 1 but where
// several are in parallel. One of which that is not known counts as carrying all of it.
func (d drive) share(p *rules.Pass, id string) float64 {
	if phase, ok := p.Circuit.PhaseOf(p.Circuit.Edge(id)); ok {
		return phase.Share
	}
	return 1
}

// continuousIn is continuousA as one of the cables carries it.
func (d drive) continuousIn(c *rules.Check, p *rules.Pass, id string) (a float64, ok bool) {
	a, ok = d.continuousA(c)
	return d.part(c, p, id, "I_ph", a), ok
}

// peakIn is peakA as one of the cables carries it.
func (d drive) peakIn(c *rules.Check, p *rules.Pass, id string) (a, s float64, ok bool) {
	a, s, ok = d.peakA(c)
	return d.part(c, p, id, "I_pk", a), s, ok
}

// part adds the part of a phase current that one of the cables carries to the working.
func (d drive) part(c *rules.Check, p *rules.Pass, id, symbol string, a float64) float64 {
	share := d.share(p, id)
	if share == 1 || a == 0 {
		return a
	}
	c.Solved("s", "share of "+id+", of the ways in parallel", share, "", "by their resistances at 20 C")
	return c.Calc(symbol, "what of it flows in "+id, "s "+symbol, rules.Term(share)+" * "+rules.Term(a), share*a, "A")
}
