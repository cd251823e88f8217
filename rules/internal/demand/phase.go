package demand

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Phase is the phase current of a controller as something between it and a motor carries
// it. No mode says how much that is: on a hill it is several times what the battery
// gives, and only the controller's own limits hold it down.
type Phase struct {
	By *schema.Controller
	// Share is the part of it that is carried: 1 but where several ways are in parallel.
	Share float64
}

// PhaseOf is the phase current through the element; false for an element that is not
// between a controller and a motor.
func (d *Demands) PhaseOf(e Element) (x Phase, ok bool) {
	for _, edge := range e {
		if p, in := d.Circuit.PhaseOf(edge); in && (!ok || p.Share > x.Share) {
			x, ok = Phase{d.Spec.Controllers[p.Controller], p.Share}, true
		}
	}
	return x, ok
}

// PhaseJoint is the phase current of a joint in which several conductors meet, half of what
// all of them carry; or of one way of a block, what those on it carry together.
func (d *Demands) PhaseJoint(conductors []*circuit.Edge, way bool) (x Phase, ok bool) {
	var sum float64
	for _, edge := range conductors {
		if p, in := d.Circuit.PhaseOf(edge); in {
			x.By, ok = d.Spec.Controllers[p.Controller], true
			sum += p.Share
		}
	}
	if !way {
		sum /= 2
	}
	x.Share = min(1, sum)
	return x, ok
}

// InPhase reports a check as not made that asks for the current of each mode of an element
// between a controller and a motor, and says whether it did: no mode gives it.
func (d *Demands) InPhase(c *rules.Check, id string, e Element) bool {
	x, ok := d.PhaseOf(e)
	if ok {
		c.NotChecked("the switching of the phases of "+x.By.ID, "%s: it carries the phase current of %s, which no mode gives", id, x.By.ID)
	}
	return ok
}

// Duty is what the phase current amounts to for a part of a time constant in s: what flows
// continuously, or after that the peak for its time. Where that is not stated, unless a
// limit in A is exceeded already, unknown reports the check as not made; else it is nil.
func (x Phase) Duty(id string, tauS, limitA float64) (d Duty, unknown func(*rules.Check)) {
	path := x.By.Path()
	if !x.By.PhaseContinuousA.Known {
		return d, func(c *rules.Check) {
			c.NotChecked(path+".phase_continuous_A", "%s: the phase current that %s lets flow continuously is not stated", id, x.By.ID)
		}
	}
	continuous, peak := x.rmsA(x.By.PhaseContinuousA.Value), x.rmsA(x.By.PhasePeakA.Or(0))
	d = Duty{Use: Use{A: continuous}, EqA: continuous, Phase: &x}
	switch {
	case peak <= continuous:
	case x.By.PhasePeakS.Known:
		step := DutyStep{Use: Use{A: peak}, S: x.By.PhasePeakS.Value, Path: path + ".phase_peak_s", What: "the peak phase current of " + x.By.ID}
		rest := DutyStep{Use: Use{A: continuous}, S: math.Inf(1), What: "the continuous phase current of " + x.By.ID}
		if t, valid := (DutyCycle{Steps: []DutyStep{step, rest}}).duty(tauS); valid && t.EqA > continuous {
			d.EqA, d.Steps = t.EqA, t.Steps
		}
	case continuous <= limitA:
		return d, func(c *rules.Check) {
			c.NotChecked(path+".phase_peak_s", "%s: for how long %s lets its peak phase current flow is not stated", id, x.By.ID)
		}
	}
	return d, nil
}

// MostA is the greatest of the two currents in A rms; 0 where none is stated.
func (x Phase) MostA() float64 {
	return x.rmsA(max(x.By.PhaseContinuousA.Or(0), x.By.PhasePeakA.Or(0)))
}

// ContinuousA is the current in A rms that flows in it continuously, and the path of what
// the controller states; not ok where it states none.
func (x Phase) ContinuousA() (a float64, path string, ok bool) {
	n := x.By.PhaseContinuousA
	return x.rmsA(n.Or(0)), x.By.Path() + ".phase_continuous_A", n.Known
}

// rmsA is the part carried of a phase current as the controller states it, in A rms.
func (x Phase) rmsA(a float64) float64 {
	if x.By.PhaseIs == "peak" {
		a = calc.SineRMS(a).Value
	}
	return x.Share * a
}

// explain adds the part carried of a phase current of the controller to a working.
func (x Phase) explain(w *rules.Working, symbol, what string, a float64, field string) float64 {
	path := x.By.Path() + "." + field
	what += " of " + x.By.ID
	if x.By.PhaseIs == "peak" {
		w.Given("I_pk", what+", peak of the sine", a, "A", path)
		a = w.Line(symbol, what+", rms", calc.SineRMS(a))
	} else {
		a = w.Given(symbol, what+", rms", a, "A", path)
	}
	if x.Share == 1 {
		return a
	}
	s := w.Solved("s", "share of it, of the ways in parallel", x.Share, "", "by their resistances at 20 C")
	return w.Calc(symbol, "what of it flows here", "s "+symbol, rules.Term(s)+" * "+rules.Term(a), s*a, "A")
}

// ExplainContinuous adds the part of the continuous phase current to a working, and returns
// it in A rms; ExplainPeak that of the peak.
func (x Phase) ExplainContinuous(w *rules.Working) float64 {
	return x.explain(w, "I_ph", "continuous phase current", x.By.PhaseContinuousA.Value, "phase_continuous_A")
}

// ExplainPeak adds the part of the peak phase current to a working, and returns it in A rms.
func (x Phase) ExplainPeak(w *rules.Working) float64 {
	return x.explain(w, "I_max", "peak phase current", x.By.PhasePeakA.Value, "phase_peak_A")
}

// explainPhase adds how a duty of a phase current comes about.
func (d Duty) explainPhase(w *rules.Working, part string, tauS float64, tauSource string) {
	d.Phase.ExplainContinuous(w)
	if d.Steps == nil {
		return
	}
	d.Phase.ExplainPeak(w)
	w.Given("t_pk", "how long that may last", d.Steps[0].S, "s", d.Steps[0].Path)
	w.Default("tau", "time constant of the heating of "+part, tauS, "s", tauSource)
	if held, err := calc.HottestHeld(DutyCycle{Steps: d.Steps}.Intervals(), tauS); err == nil { // it gave the duty
		w.Line("I_eq", "equivalent continuous current: it heats as much as the peak does at its end", held)
	}
}

// Said says in words what the duty is that of, as the end of "5 A ...".
func (d Duty) Said() string {
	switch {
	case d.Phase != nil && d.Steps == nil:
		return "rms of phase current of " + d.Phase.By.ID + " continuously"
	case d.Phase != nil:
		return "rms of phase current of " + d.Phase.By.ID + " (equivalent continuous, with its peak)"
	case d.Steps != nil:
		return "equivalent continuous over the cycle with mode " + d.ModeID()
	}
	return "in mode " + d.ModeID()
}

// In names the mode and the corner of a duty; a phase current is of none.
func (d Duty) In(c *rules.Check) {
	if d.Mode != nil {
		c.In(d.Mode.ID, d.At.String())
	}
}
