package controller

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func controllerCurrentHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "controller-current-high",
		Family: family,
		Title:  "a mode asks more of the controller than it gives",
		Why: "A controller that is asked for more than its continuous current heats up and cuts its current back, on the long climb where it is needed; " +
			"above its peak it gives no more than that. What was reckoned with the larger figure does not happen: the load is not pulled, the time not kept.",
		Relation: "battery-side current of every mode continuously <= battery_continuous_A, of a mode that lasts t <= battery_peak_A for t up to peak_s, beyond " +
			"that the current that heats no more; over the cycle the steady current that heats as much <= battery_continuous_A. A power is taken at nominal voltage",
		Source:   "data sheet; thermal replica of IEC 60255-149 in its periodic state, time constant of 10 min from memory",
		Level:    rules.Error,
		Varies:   "warning where it happens with the pack empty only: a power then takes more current",
		Fix:      "use a controller of a larger battery-side current, or ask less of it in that mode",
		Policy:   []string{"policy.required.controller-current-high"},
		Required: 1,
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "modes.climb.draw.drive.power_W", Value: "9000"}}},
		Check: checkCurrentHigh,
	}
}

// tauS is the time constant in s of the heating of a controller on its heat sink.
const tauS = 600

func checkCurrentHigh(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		if demand.CycleUnknown(c, p.Spec) {
			return
		}
		uses, unsettled := d.uses(p, demand.Nominal)
		if unsettled != nil {
			c.Unsettled(unsettled, d.edge.ID)
			return
		}
		worst, missing := d.hardest(p, uses)
		if missing.path == "" && worst.used()*p.Required() <= 1 {
			// From an empty pack a power takes more. That lasts for minutes: long
			// enough to matter to a mode continuously. On a hill of half a minute a
			// controller that holds back at the end of the charge is no fault.
			if uses, unsettled = d.uses(p, demand.Empty); unsettled != nil {
				c.Unsettled(unsettled, d.edge.ID)
				return
			}
			uses = slices.DeleteFunc(uses, func(u demand.Use) bool { return !demand.Continuous(p.Spec, u.Mode) })
			if x, _ := d.hardest(p, uses); x.mode != "" && x.used() > worst.used() {
				worst = x
				c.Level(rules.Warning)
			}
		}
		if missing.path != "" {
			c.NotChecked(missing.path, "%s", missing.why)
			return
		}
		d.judgeCurrent(c, worst)
	})
}

// uses lists what each mode asks of the controller: the current, or the power at
// the voltage there, without the cap by which the controller limits itself.
// It returns a solution that cannot be rested on, if there is one.
func (d drive) uses(p *rules.Pass, corner func(mode string) circuit.Case) (out []demand.Use, unsettled *circuit.Solution) {
	for id, m := range schema.Sorted(p.Spec.Modes) {
		k := corner(id)
		u := demand.Use{Mode: m, At: k}
		if draw := m.Draw[d.ID]; draw != nil && draw.PowerW.Or(0)+draw.CurrentA.Or(0) > 0 {
			s := p.Circuit.Solve(k)
			if !s.Settled(d.edge.ID) {
				return nil, s
			}
			u.A = d.asked(s, draw)
		}
		out = append(out, u)
	}
	return out, nil
}

// asked is the current in A that a mode asks for in a state. A power is taken at
// the voltage there: the circuit was solved with the controller's own cap, without
// which the supply sags more, so that what is asked is no less than this. Below its
// working voltage a controller asks for nothing but what it then draws.
func (d drive) asked(s *circuit.Solution, draw *schema.Draw) float64 {
	switch v := d.terminalV(s); {
	case draw.CurrentA.Known:
		return draw.CurrentA.Value
	case draw.PowerW.Known && v >= d.MinV:
		return draw.PowerW.Value / v
	}
	return s.Current(d.ID)
}

// workAsked adds how the current that a mode asks for comes about.
func (d drive) workAsked(w *rules.Working, p *rules.Pass, u demand.Use) {
	draw, s, path := u.Mode.Draw[d.ID], p.Circuit.Solve(u.At), u.Mode.Path()+".draw."+d.ID
	what := "current asked of " + d.ID + " in mode " + u.Mode.ID
	switch v := d.terminalV(s); {
	case draw.CurrentA.Known:
		w.Given("I", what, u.A, "A", path+".current_A")
	case draw.PowerW.Known && v >= d.MinV:
		power := w.Given("P", "power asked of "+d.ID+" in mode "+u.Mode.ID, draw.PowerW.Value, "W", path+".power_W")
		w.Solved("V", "voltage at "+d.ID, v, "V", u.At.String())
		w.Calc("I", what, "P / V", rules.Term(power)+" / "+rules.Term(v), u.A, "A")
	default:
		w.Solved("I", what, u.A, "A", u.At.String())
	}
}

// asked is what is asked of a controller against what it gives.
type asked struct {
	a, limitA float64
	what      string
	mode      string
	at        circuit.Case
	fix       string // "" for the rule's own
	work      func(*rules.Working)
}

func (x asked) used() float64 { return x.a / x.limitA }

// gap is a value that is missing, and why it matters.
type gap struct{ path, why string }

// hardest finds the demand nearest to its limit, or farthest beyond.
func (d drive) hardest(p *rules.Pass, uses []demand.Use) (worst asked, missing gap) {
	take := func(x asked) {
		if worst.work == nil || x.used() > worst.used() {
			worst = x
		}
	}
	for _, u := range uses {
		s, path := demand.Longest(p.Spec, u.Mode)
		if u.A == 0 || s == 0 {
			continue
		}
		x, unknown := d.burst(p, u, s, path)
		if unknown.path != "" {
			return asked{}, unknown
		}
		take(x)
	}
	duty, ok := demand.Hottest(p.Spec, uses, tauS)
	if !ok || duty.EqA == 0 {
		if worst.work == nil {
			worst = asked{limitA: 1, what: "draws nothing in any mode", work: func(*rules.Working) {}}
		}
		return worst, gap{}
	}
	if !d.BatteryContinuousA.Known {
		return asked{}, gap{d.Path() + ".battery_continuous_A", d.ID + " states no battery-side current that it draws continuously"}
	}
	take(d.forGood(p, duty))
	return worst, gap{}
}

// forGood is a current continuously, or the cycle, against the continuous rating.
func (d drive) forGood(p *rules.Pass, duty demand.Duty) asked {
	what := fmt.Sprintf("is asked for %s A in mode %s", rules.Figure(duty.EqA), duty.Mode.ID)
	switch {
	case duty.Cycle:
		what = fmt.Sprintf("is heated by the cycle as much as by a steady %s A", rules.Figure(duty.EqA))
	case duty.Steps != nil:
		what = fmt.Sprintf("is heated by mode %s, which lasts and comes back, as much as by a steady %s A", duty.Mode.ID, rules.Figure(duty.EqA))
	}
	x := asked{a: duty.EqA, limitA: d.BatteryContinuousA.Value, what: what, mode: duty.Mode.ID, at: duty.At, work: func(w *rules.Working) {
		if duty.Steps == nil {
			d.workAsked(w, p, duty.Use)
		} else {
			duty.Work(w, d.ID, tauS, "from memory")
		}
		w.Given("I_c", "continuous battery-side current of "+d.ID, d.BatteryContinuousA.Value, "A", d.Path()+".battery_continuous_A")
	}}
	if duty.Steps == nil {
		x.fix = fmt.Sprintf("state how long mode %s lasts (lasts_s) if it does not go on continuously, else ask less of %s in it", duty.Mode.ID, d.ID)
	}
	return x
}

// burst is a current that lasts for a time against what the controller gives.
func (d drive) burst(p *rules.Pass, u demand.Use, s float64, path string) (asked, gap) {
	cont, peak := d.BatteryContinuousA, d.BatteryPeakA
	x := asked{a: u.A, what: fmt.Sprintf("is asked for %s A for %s s in mode %s", rules.Figure(u.A), rules.Figure(s), u.Mode.ID), mode: u.Mode.ID, at: u.At}
	workBurst := func(w *rules.Working) {
		d.workAsked(w, p, u)
		w.Given("t", "for how long", s, "s", path)
	}
	unknown := fmt.Sprintf("what %s gives for %s s is not known", d.ID, rules.Figure(s))
	switch {
	case cont.Known && u.A <= cont.Value:
		x.limitA = cont.Value
		x.work = func(w *rules.Working) {
			workBurst(w)
			w.Given("I_c", "continuous battery-side current of "+d.ID, cont.Value, "A", d.Path()+".battery_continuous_A")
		}
		return x, gap{}
	case !peak.Known:
		return asked{}, gap{d.Path() + ".battery_peak_A", unknown}
	case u.A <= peak.Value && !d.PeakS.Known:
		return asked{}, gap{d.Path() + ".peak_s", unknown}
	case u.A <= peak.Value && s > d.PeakS.Value && !cont.Known:
		return asked{}, gap{d.Path() + ".battery_continuous_A", unknown}
	}
	x.limitA = peak.Value
	if s > d.PeakS.Or(math.Inf(1)) && cont.Known {
		x.limitA, _ = calc.BurstCurrent(peak.Value, d.PeakS.Value, cont.Value, s) // all above 0 by the schema
	}
	x.work = func(w *rules.Working) {
		workBurst(w)
		d.workBurst(w, s, x.limitA)
	}
	return x, gap{}
}

func (d drive) workBurst(w *rules.Working, s, limit float64) {
	peak := w.Given("I_pk", "peak battery-side current of "+d.ID, d.BatteryPeakA.Value, "A", d.Path()+".battery_peak_A")
	if d.PeakS.Known {
		w.Given("t_pk", "time for which it gives that", d.PeakS.Value, "s", d.Path()+".peak_s")
	}
	if limit < peak {
		cont := w.Given("I_c", "continuous battery-side current of "+d.ID, d.BatteryContinuousA.Value, "A", d.Path()+".battery_continuous_A")
		w.Calc("I_t", "current that heats no more", "sqrt(I_c^2 + (I_pk^2 - I_c^2) t_pk / t)",
			"sqrt("+rules.Term(cont)+"^2 + ("+rules.Term(peak)+"^2 - "+rules.Term(cont)+"^2) * "+rules.Term(d.PeakS.Value)+" / "+rules.Term(s)+")", limit, "A")
	}
}

func (d drive) judgeCurrent(c *rules.Check, x asked) {
	if x.mode == "" {
		c.Holds(true, "%s %s", d.ID, x.what)
		return
	}
	c.In(x.mode, x.at.String())
	x.work(c.Working)
	if x.fix != "" {
		c.Fix("%s", x.fix)
	}
	c.AtMost(rules.Amperes(x.a), rules.Amperes(x.limitA), "%s %s; it gives %s A", d.ID, x.what, rules.Figure(x.limitA))
}
