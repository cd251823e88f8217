package battery

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
)

const batteryPeakHighID = "battery-peak-high"

func batteryPeakHigh() *rules.Rule {
	return &rules.Rule{
		ID:     batteryPeakHighID,
		Family: family,
		Title:  "a mode draws more than the battery can supply for that time",
		Why: "Above its peak current a cell's voltage falls so far that it is pulled through its lower limit while the pack still reads half full; " +
			"links and welds inside carry what they were never tested for, and the pack's own cut-off opens on the hill.",
		Relation: "the current of every mode that lasts t <= peak_A for t up to peak_s; beyond that <= sqrt(I_c^2 + (I_pk^2 - I_c^2) t_pk / t), " +
			"the current that heats the cells above their continuous state no more than the rated peak does",
		Source:   "data sheet; adiabatic heating above a steady state (circuit theory), common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.battery-peak-high"},
		Vital:    []string{"batteries.continuous_A", "batteries.peak_A", "batteries.peak_s", "controllers.peak_s", "modes.lasts_s"},
		Fix:      "use a battery with a higher peak current, or lower the controller's battery-side limit",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.continuous_A", Value: "80"}, {Path: "batteries.pack.peak_A", Value: "100"}}},
		Check: checkPeak,
	}
}

func checkPeak(p *rules.Pass) {
	for _, x := range batteries(p) {
		if c, ok := begin(p, x); ok && x.Known(c) {
			x.checkPeakCurrent(c, p)
		}
	}
}

// burst is a current that lasts for a time; +Inf where nothing says how long.
type burst struct {
	demand.Use
	s    float64
	path string
}

// allowedA is what the battery can supply for a time. Where it is not known the path
// of what is missing is returned; a peak without a duration is taken at its
// current alone.
func (x batteryState) allowedA(b burst) (a float64, missing string) {
	k := x.Battery.Battery
	within := k.ContinuousA.Known && b.A <= k.ContinuousA.Value
	switch {
	case k.PeakA.Known && (math.IsInf(b.s, 1) || k.PeakS.Known && b.s <= k.PeakS.Value):
		return k.PeakA.Value, ""
	case k.PeakA.Known && k.PeakS.Known && k.ContinuousA.Known:
		return x.beyondPeak(b).Value, ""
	case within:
		return k.ContinuousA.Value, ""
	case !k.PeakA.Known:
		return 0, k.Path() + ".peak_A"
	case b.A > k.PeakA.Value:
		return k.PeakA.Value, ""
	case !k.PeakS.Known:
		return 0, k.Path() + ".peak_s"
	}
	return 0, k.Path() + ".continuous_A"
}

// beyondPeak is what the battery can supply for the time of a peak that lasts longer than
// its own.
func (x batteryState) beyondPeak(b burst) calc.Line {
	k := x.Battery.Battery
	l, _ := calc.BurstCurrent(k.PeakA.Value, k.PeakS.Value, k.ContinuousA.Value, b.s) // all above 0 by the schema
	return l
}

// peakExceeded reports whether a mode draws more than the battery can supply
// for the time that it lasts.
func (x batteryState) peakExceeded(p *rules.Pass, u demand.Use) bool {
	s, path := demand.Longest(p.Spec, u.Mode)
	if s == 0 {
		s = math.Inf(1)
	}
	a, missing := x.allowedA(burst{u, s, path})
	return missing == "" && u.A > a*(1+1e-9)
}

func (x batteryState) checkPeakCurrent(c *rules.Check, p *rules.Pass) {
	var worst burst
	var allowed float64
	for _, b := range x.bursts(p) {
		a, missing := x.allowedA(b)
		if missing != "" {
			c.NotChecked(missing, "%s: %s A in mode %s; what it can supply for that time is not known", x.ID, rules.Figure(b.A), b.Mode.ID)
			return
		}
		if worst.Mode == nil || b.A*allowed > worst.A*a {
			worst, allowed = b, a
		}
	}
	if worst.Mode == nil {
		c.Holds(true, "no mode draws a short-time current from %s", x.ID)
		return
	}
	c.In(worst.Mode.ID, worst.At.String())
	c.Solved("I", "current of "+x.ID+" in mode "+worst.Mode.ID, worst.A, "A", worst.At.String())
	if !math.IsInf(worst.s, 1) {
		c.Given("t", "duration", worst.s, "s", worst.path)
	}
	x.explainAllowed(c.Working, worst, allowed)
	duration, span := forTime(worst.s)
	c.Fix("use a battery that can supply %s A %s, or %s", rules.Figure(rules.RoundUp(worst.A, 1)), span, x.drawLess(p, worst, allowed))
	c.AtMost(rules.Amperes(worst.A), rules.Amperes(allowed), "%s: %s A%s in mode %s, can supply %s A %s",
		x.ID, rules.Figure(worst.A), duration, worst.Mode.ID, rules.Figure(allowed), span)
}

// drawLess says how to stay within what the battery can supply: by the limits of the
// controllers, less what everything else draws at that time.
func (x batteryState) drawLess(p *rules.Pass, worst burst, allowed float64) string {
	state, share := p.Circuit.Solve(worst.At), p.Circuit.Share(x.Parallel, x.Own)
	var names []string
	others := worst.A / share
	for _, k := range x.controllers(p) {
		if a := state.Current(k.ID); a > demand.LeastA {
			names, others = append(names, k.ID), others-a
		}
	}
	limit := rules.RoundDown(allowed/share-max(0, others), 1)
	if x.Role != "traction" || len(names) == 0 || limit <= 0 {
		return "draw less from it"
	}
	together, limits := "", "limit"
	if len(names) > 1 {
		together, limits = " together", "limits"
	}
	return fmt.Sprintf("set the battery-side %s of %s to at most %s A%s, and draw no more in mode %s", limits, rules.And(names), rules.Figure(limit), together, worst.Mode.ID)
}

// forTime says how long a current lasts, and for how long the battery is to
// supply it.
func forTime(s float64) (duration, span string) {
	if math.IsInf(s, 1) {
		return "", "continuously"
	}
	return " for " + rules.Figure(s) + " s", "for that time"
}

// bursts lists the modes that last for a time, and those that plainly cannot go
// on, in which the battery carries a current.
func (x batteryState) bursts(p *rules.Pass) (out []burst) {
	for _, f := range x.Currents {
		u := f.Given
		if u.A == 0 {
			continue
		}
		if s, path := demand.Longest(p.Spec, f.Mode); s > 0 {
			out = append(out, burst{u, s, path})
		} else if x.Overdrawn(u) != "" {
			out = append(out, burst{u, math.Inf(1), ""})
		}
	}
	return out
}

// explainAllowed adds what the battery can supply for a time to the working.
func (x batteryState) explainAllowed(w *rules.Working, b burst, allowed float64) {
	k := x.Battery.Battery
	if k.ContinuousA.Known && allowed == k.ContinuousA.Value {
		w.Given("I_c", "continuous current of "+k.ID, allowed, "A", k.Path()+".continuous_A")
		return
	}
	peak := w.Given("I_pk", "peak current of "+k.ID, k.PeakA.Value, "A", k.Path()+".peak_A")
	if k.PeakS.Known {
		w.Given("t_pk", "duration of that peak", k.PeakS.Value, "s", k.Path()+".peak_s")
	}
	if allowed < peak {
		w.Given("I_c", "continuous current of "+k.ID, k.ContinuousA.Value, "A", k.Path()+".continuous_A")
		w.Line("I_t", "current for that time with the same heating", x.beyondPeak(b))
	}
}
