package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func breakerOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-overloaded",
		Family: family,
		Title:  "a circuit breaker carries more than it holds in the hottest air",
		Why: "The bimetal does not know a current from a warm box. In July it trips on what it carried all winter, and is then replaced by the next size, " +
			"which protects nothing any more.",
		Relation: "the continuous current, and the root mean square of the cycle and of repeated steps, <= I_n f(T_max) g: I_n is the rated current, no more, even where the standard holds more for an hour; " +
			"f = sqrt((T_trip - T) / (T_trip - T_cal)), or less 0.7 % per kelvin where T_trip is not known; g side by side. Above its last ambient it is not rated",
		Source:   "heat balance of the bimetal; IEC 60364-4-43, 433.1 (I_B <= I_n); 0.7 %/K: common practice",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"breakers.calibrated_C", "controllers.peak_s", "modes.lasts_s", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a breaker of the next rating with conductors that suit it, or put it in a cooler place",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.rated_A", Value: "4"}}},
		Check: eachBreaker(evalBreakerOverload),
	}
}

// holds is what a breaker carries for good in some air, in A; not ok where it is not
// rated there.
func (d breaker) holds(air capacity.Air) (a float64, ok bool) {
	g, _ := circuit.TripGate(d.Breaker)
	f, ok := circuit.BreakerFactor(d.Breaker, air.C(), g.HoldAtC)
	return d.RatedA * min(1, g.Hold) * f.Value * d.GroupedPercent.Or(100) / 100, ok
}

// tooHot is the ambient in C above which a breaker is not rated, where that is below the
// air around it.
func (d breaker) tooHot(air capacity.Air) (lastC float64, yes bool) {
	n := len(d.Ambient)
	if n == 0 || air.C() <= d.Ambient[n-1].AtC {
		return 0, false
	}
	return d.Ambient[n-1].AtC, true
}

func evalBreakerOverload(s *supply, c *rules.Check, d breaker) {
	if demand.CycleUnknown(c, s.Spec) || s.inPhase(c, s.fuseOf(d.ID)) {
		return
	}
	list, unsettled := s.stresses(s.fuseOf(d.ID))
	g, _ := circuit.TripGate(d.Breaker)
	switch {
	case unsettled != nil:
		c.Unsettled(unsettled, d.ID)
		return
	case len(s.Spec.Modes) == 0:
		c.NotChecked("modes", "%s: no mode says what it carries", d.ID)
		return
	case d.lackOf(g.HoldAtC) != "":
		c.NotChecked(d.lackOf(g.HoldAtC), "%s: the ambient at which its rated current holds is not declared", d.ID)
		return
	}
	air := s.hottest(d.Breaker)
	if last, yes := d.tooHot(air); yes {
		air.Explain(c.Working)
		c.Fix("put %s where it is no hotter than %s C, or use a breaker that is rated for %s C", d.ID, rules.Figure(last), rules.Figure(air.C()))
		c.Fail("%s: not rated above %s C, it stands in %s C", d.ID, rules.Figure(last), rules.Figure(air.C()))
		return
	}
	worst, doubtful := d.worstLoad(list)
	if worst.limitA == 0 {
		worst.air = air
		worst.limitA, _ = d.holds(air)
	}
	c.In(worst.mode, "")
	worst.explainOut(c.Working, s.fuseOf(d.ID))
	limit, ok := d.holdSteps(c.Working, worst.air)
	switch {
	case !ok:
		c.NotChecked(d.field("ambient"), "%s: what it holds in %s C is not known", d.ID, rules.Figure(worst.air.C()))
		return
	case doubtful != "" && limit >= worst.effective:
		c.NotChecked(doubtful, "%s carries a peak current whose duration is not declared", d.ID)
		return
	}
	c.Fix("use a breaker of at least %s A with conductors that suit it", rules.Figure(breakerSize(s.Required()*worst.effective*d.RatedA/max(limit, 1e-9))))
	c.AtMost(rules.Amperes(worst.effective), rules.Amperes(limit), "%s: %s A %s, holds %s A in %s C (%s A breaker)",
		d.ID, rules.Figure(worst.effective), worst.describe(), rules.Figure(limit), rules.Figure(worst.air.C()), rules.Figure(d.RatedA))
}

// worstLoad picks the greatest continuous current against what the breaker holds, as
// worstContinuous does of fuses.
func (d breaker) worstLoad(list []stress) (worst continuousUse, doubtful string) {
	var base float64
	for _, x := range list {
		if x.continuous() {
			base = max(base, x.amperes)
		}
	}
	for _, x := range list {
		limit, ok := d.holds(x.air)
		l := continuousUse{stress: x, effective: x.amperes, limitA: limit}
		switch {
		case !ok:
			continue
		case x.missing != "":
			if x.mode != "" && x.amperes > limit && doubtful == "" {
				doubtful = x.missing
			}
			continue
		case x.continuous():
		case x.declared:
			l.effective, _, _ = calc.RMS(x.cycle) // the durations are positive
		case x.every > 0:
			l.baseA = min(base, x.amperes)
			rms, _ := calc.RepeatedRMS(x.amperes, x.seconds, l.baseA, x.every) // likewise
			l.effective = rms.Value
		default:
			continue // short and rare: a matter for breaker-trips-in-use
		}
		if worst.limitA == 0 || l.effective*worst.limitA > worst.effective*l.limitA*(1+1e-6) {
			worst = l
		}
	}
	return worst, doubtful
}

// holdSteps is holds with its steps.
func (d breaker) holdSteps(w *rules.Working, air capacity.Air) (a float64, ok bool) {
	g, _ := circuit.TripGate(d.Breaker)
	n := w.Given("I_n", "rated current of "+d.ID, d.RatedA, "A", d.field("rated_A"))
	share := 1.
	if g.Hold < 1 {
		share = gateSteps(w, d.Breaker, "h", "share of it that it holds", g.Hold, d.Trip.HoldPercent, "hold_percent", g.Source)
	}
	at := air.Explain(w)
	f, ok := ambientSteps(w, d.Breaker, "in that air", at, g.HoldAtC)
	if !ok {
		return 0, false
	}
	beside := w.Or("g_%", "share that is left side by side", d.GroupedPercent, "%", d.field("grouped_percent"), 100, "nothing is stated: it stands by itself")
	return w.Calc("I_h", "current that "+d.ID+" holds", "h f I_n g_% / 100",
		rules.Term(share)+" * "+rules.Term(f)+" * "+rules.Term(n)+" * "+rules.Term(beside)+" / 100", share*f*n*beside/100, "A"), true
}

// breakerSize is the next rated current in A of miniature breakers, from IEC 60898-1 as it is
// quoted in catalogues; above them the current itself.
func breakerSize(a float64) float64 {
	for _, size := range []float64{6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125} {
		if size >= a*(1-1e-9) {
			return size
		}
	}
	return rules.RoundUp(a, 1)
}
