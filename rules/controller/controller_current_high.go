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
		Title:  "a mode loads the controller above its current rating",
		Why: "A controller loaded above its continuous current heats up and cuts its current back, on the long climb where it is needed; " +
			"at its peak it limits the current. The vehicle then climbs slower than was computed with the larger figure, or not at all.",
		Relation: "battery-side current of every continuous mode <= battery_continuous_A, of a mode that lasts t <= battery_peak_A for t up to peak_s, beyond " +
			"that the current with the same heating; equivalent continuous current over the cycle <= battery_continuous_A. A power is converted at nominal voltage",
		Source:   "data sheet; thermal replica of IEC 60255-149 in its periodic state, time constant of 10 min from memory",
		Level:    rules.Error,
		Varies:   "warning where it happens with the pack empty only: the same power then draws more current",
		Vital:    []string{"controllers.battery_continuous_A", "controllers.battery_peak_A", "controllers.peak_s", "modes.lasts_s"},
		Fix:      "use a controller with a higher battery-side current, or draw less in that mode",
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
			// From an empty pack the same power draws more. That lasts for minutes: long
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
		d.report(c, worst)
	})
}

// uses lists what each mode draws through the controller: the current, or the power at
// the voltage there, without the cap by which the controller limits itself.
// It returns a solution that does not settle, if there is one.
func (d drive) uses(p *rules.Pass, corner func(mode string) circuit.Case) (out []demand.Use, unsettled *circuit.Solution) {
	for id, m := range schema.Sorted(p.Spec.Modes) {
		k := corner(id)
		u := demand.Use{Mode: m, At: k}
		if draw := m.Draw[d.ID]; draw != nil && draw.PowerW.Or(0)+draw.CurrentA.Or(0) > 0 {
			s := p.Circuit.Solve(k)
			if !s.Settled(d.edge.ID) {
				return nil, s
			}
			u.A = d.demandA(s, draw)
		}
		out = append(out, u)
	}
	return out, nil
}

// demandA is the current in A that a mode demands in a state. A power is converted
// at the voltage there: the circuit was solved with the controller's own cap,
// without which the supply sags more, so that the demand is no less than this.
// Below its working voltage a controller demands nothing but what it then draws.
func (d drive) demandA(s *circuit.Solution, draw *schema.Draw) float64 {
	switch v := d.terminalV(s); {
	case draw.CurrentA.Known:
		return draw.CurrentA.Value
	case draw.PowerW.Known && v >= d.MinV:
		return draw.PowerW.Value / v
	}
	return s.Current(d.ID)
}

// explainDemand adds the steps of the current that a mode demands.
func (d drive) explainDemand(w *rules.Working, p *rules.Pass, u demand.Use) {
	draw, s, path := u.Mode.Draw[d.ID], p.Circuit.Solve(u.At), u.Mode.Path()+".draw."+d.ID
	what := "current demanded of " + d.ID + " in mode " + u.Mode.ID
	switch v := d.terminalV(s); {
	case draw.CurrentA.Known:
		w.Given("I", what, u.A, "A", path+".current_A")
	case draw.PowerW.Known && v >= d.MinV:
		power := w.Given("P", "power demanded of "+d.ID+" in mode "+u.Mode.ID, draw.PowerW.Value, "W", path+".power_W")
		w.Solved("V", "voltage at "+d.ID, v, "V", u.At.String())
		w.Calc("I", what, "P / V", rules.Term(power)+" / "+rules.Term(v), u.A, "A")
	default:
		w.Solved("I", what, u.A, "A", u.At.String())
	}
}

// loading is a current demanded of a controller against its rating.
type loading struct {
	a, limitA float64
	what      string
	mode      string
	at        circuit.Case
	span      string // for which the limit holds
	fix       string // "" for the rule's own
	explain   func(*rules.Working)
}

func (x loading) used() float64 { return x.a / x.limitA }

// gap is a value that is missing, and why it matters.
type gap struct{ path, why string }

// hardest finds the loading nearest to its limit, or farthest beyond.
func (d drive) hardest(p *rules.Pass, uses []demand.Use) (worst loading, missing gap) {
	take := func(x loading) {
		if worst.explain == nil || x.used() > worst.used() {
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
			return loading{}, unknown
		}
		take(x)
	}
	duty, ok := demand.Hottest(p.Spec, uses, tauS)
	if !ok || duty.EqA == 0 {
		if worst.explain == nil {
			worst = loading{limitA: 1, what: "draws nothing in any mode", explain: func(*rules.Working) {}}
		}
		return worst, gap{}
	}
	if !d.BatteryContinuousA.Known {
		return loading{}, gap{d.Path() + ".battery_continuous_A", d.ID + ": its continuous battery-side current is not stated"}
	}
	take(d.continuous(p, duty))
	return worst, gap{}
}

// continuous is a continuous current, or the cycle, against the continuous rating.
func (d drive) continuous(p *rules.Pass, duty demand.Duty) loading {
	what := fmt.Sprintf("%s A in mode %s", rules.Figure(duty.EqA), duty.Mode.ID)
	switch {
	case duty.Cycle:
		what = fmt.Sprintf("equivalent continuous current %s A over the cycle", rules.Figure(duty.EqA))
	case duty.Steps != nil:
		what = fmt.Sprintf("equivalent continuous current %s A in repeated mode %s", rules.Figure(duty.EqA), duty.Mode.ID)
	}
	x := loading{a: duty.EqA, limitA: d.BatteryContinuousA.Value, what: what, span: "continuous", mode: duty.Mode.ID, at: duty.At, explain: func(w *rules.Working) {
		if duty.Steps == nil {
			d.explainDemand(w, p, duty.Use)
		} else {
			duty.Explain(w, d.ID, tauS, "from memory")
		}
		w.Given("I_c", "continuous battery-side current of "+d.ID, d.BatteryContinuousA.Value, "A", d.Path()+".battery_continuous_A")
	}}
	if duty.Steps == nil {
		x.fix = fmt.Sprintf("set lasts_s of mode %s if it is not continuous, else lower the draw of %s in it", duty.Mode.ID, d.ID)
	}
	return x
}

// burst is a current that lasts for a time against the rating for that time.
func (d drive) burst(p *rules.Pass, u demand.Use, s float64, path string) (loading, gap) {
	cont, peak := d.BatteryContinuousA, d.BatteryPeakA
	x := loading{a: u.A, what: fmt.Sprintf("%s A for %s s in mode %s", rules.Figure(u.A), rules.Figure(s), u.Mode.ID), span: "for that time", mode: u.Mode.ID, at: u.At}
	explainBurst := func(w *rules.Working) {
		d.explainDemand(w, p, u)
		w.Given("t", "duration", s, "s", path)
	}
	unknown := fmt.Sprintf("%s: its rating for %s s is not known", d.ID, rules.Figure(s))
	switch {
	case cont.Known && u.A <= cont.Value:
		x.limitA = cont.Value
		x.explain = func(w *rules.Working) {
			explainBurst(w)
			w.Given("I_c", "continuous battery-side current of "+d.ID, cont.Value, "A", d.Path()+".battery_continuous_A")
		}
		return x, gap{}
	case !peak.Known:
		return loading{}, gap{d.Path() + ".battery_peak_A", unknown}
	case u.A <= peak.Value && !d.PeakS.Known:
		return loading{}, gap{d.Path() + ".peak_s", unknown}
	case u.A <= peak.Value && s > d.PeakS.Value && !cont.Known:
		return loading{}, gap{d.Path() + ".battery_continuous_A", unknown}
	}
	x.limitA = peak.Value
	if s > d.PeakS.Or(math.Inf(1)) && cont.Known {
		x.limitA = d.beyondPeak(s).Value
	}
	x.explain = func(w *rules.Working) {
		explainBurst(w)
		d.explainBurst(w, s, x.limitA)
	}
	return x, gap{}
}

// beyondPeak is the battery-side current for a time longer than that of its peak.
func (d drive) beyondPeak(s float64) calc.Line {
	l, _ := calc.BurstCurrent(d.BatteryPeakA.Value, d.PeakS.Value, d.BatteryContinuousA.Value, s) // all above 0 by the schema
	return l
}

func (d drive) explainBurst(w *rules.Working, s, limit float64) {
	peak := w.Given("I_pk", "peak battery-side current of "+d.ID, d.BatteryPeakA.Value, "A", d.Path()+".battery_peak_A")
	if d.PeakS.Known {
		w.Given("t_pk", "duration of that peak", d.PeakS.Value, "s", d.Path()+".peak_s")
	}
	if limit < peak {
		w.Given("I_c", "continuous battery-side current of "+d.ID, d.BatteryContinuousA.Value, "A", d.Path()+".battery_continuous_A")
		w.Line("I_t", "current for that time with the same heating", d.beyondPeak(s))
	}
}

func (d drive) report(c *rules.Check, x loading) {
	if x.mode == "" {
		c.Holds(true, "%s %s", d.ID, x.what)
		return
	}
	c.In(x.mode, x.at.String())
	x.explain(c.Working)
	if x.fix != "" {
		c.Fix("%s", x.fix)
	} else if x.a > x.limitA {
		c.Fix("use a controller with a battery-side current of at least %s A %s, or draw at most %s A in mode %s", rules.Figure(rules.RoundUp(x.a, 1)), x.span, rules.Figure(rules.RoundDown(x.limitA, 1)), x.mode)
	}
	c.AtMost(rules.Amperes(x.a), rules.Amperes(x.limitA), "%s: %s, rated %s A %s", d.ID, x.what, rules.Figure(x.limitA), x.span)
}
