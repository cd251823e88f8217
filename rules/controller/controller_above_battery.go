package controller

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func controllerAboveBattery() *rules.Rule {
	return &rules.Rule{
		ID:     "controller-above-battery",
		Family: family,
		Title:  "the controller may draw more than its batteries can supply",
		Why: "Whatever the modes say, a driver floors it. Nothing but the controller's own limit then holds the current down, and the pack delivers what is " +
			"drawn: beyond its peak current, until its cut-off opens or a cell falls below the voltage that it survives.",
		Relation: "battery_peak_A for peak_s, with what the other controllers on the same batteries may draw for as long, <= what the batteries in parallel can supply together for that time (peak_A for peak_s of each; beyond its peak_s the " +
			"current with the same heating)",
		Source:   "data sheets; adiabatic heating above a steady state (circuit theory), common practice",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.required.controller-above-battery"},
		Fix:      "set the controller's battery-side limit to what the pack can supply",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "batteries.pack.peak_A", Value: "105"}, {Path: "batteries.pack.continuous_A", Value: "100"}}},
		Check: checkAboveBattery,
	}
}

func checkAboveBattery(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		if !d.BatteryPeakA.Known {
			c.NotChecked(d.Path()+".battery_peak_A", "%s: its battery-side limit is not stated", d.ID)
			return
		}
		drawn := c.Given("I_lim", "battery-side limit of "+d.ID, d.BatteryPeakA.Value, "A", d.Path()+".battery_peak_A")
		s := math.Inf(1)
		switch {
		case d.PeakS.Known:
			s = c.Given("t", "duration", d.PeakS.Value, "s", d.Path()+".peak_s")
		case !d.BatteryContinuousA.Known || d.BatteryContinuousA.Value < d.BatteryPeakA.Value:
			c.NotChecked(d.Path()+".peak_s", "%s may draw %s A for a time that is not stated", d.ID, rules.Figure(drawn))
			return
		}
		who := d.ID
		terms := []string{rules.Term(drawn)}
		for _, k := range d.beside(p) {
			own, path := drawnFor(p.Spec.Controllers[k], s)
			if own == 0 {
				continue
			}
			terms = append(terms, rules.Term(c.Given("I_"+k, "current that "+k+" may draw for as long", own, "A", path)))
			who, drawn = who+" and "+k, drawn+own
			if k < d.ID {
				c.Because(p.Rule.ID, k)
			}
		}
		if len(terms) > 1 {
			who += " together"
			c.Calc("I_all", "all of them at once", "sum", strings.Join(terms, " + "), drawn, "A")
		}
		weakest, missing := d.weakest(p, s, drawn)
		if missing != "" {
			c.NotChecked(missing, "%s may draw %s A by its own limit; whether the battery can supply that is not known", d.ID, rules.Figure(d.BatteryPeakA.Value))
			return
		}
		weakest.explain(c)
		c.Related(weakest.path, "what the battery can supply")
		if drawn > weakest.allA && d.modeExceeds(p, weakest) {
			c.Because("battery-peak-high", weakest.name)
		}
		whose := "its own limit"
		if who != d.ID {
			whose = "their own limits"
		}
		c.Fix("set the battery-side limit of %s to at most %s A", who, rules.Figure(rules.RoundDown(weakest.allA, 1)))
		c.AtMost(rules.Amperes(drawn), rules.Amperes(weakest.allA), "%s may draw %s A by %s, %s can supply %s A for that time",
			who, rules.Figure(drawn), whose, weakest.name, rules.Figure(weakest.allA))
	})
}

// drawnFor is what a controller may draw for a time, in A, and the path of that
// value: its peak if it lasts as long, else what it draws continuously; 0 if it
// states neither.
func drawnFor(k *schema.Controller, s float64) (a float64, path string) {
	peak, lasting := k.BatteryPeakA, k.BatteryContinuousA
	if peak.Known && (!lasting.Known || k.PeakS.Known && k.PeakS.Value >= s) {
		return peak.Value, k.Path() + ".battery_peak_A"
	}
	return lasting.Or(0), k.Path() + ".battery_continuous_A"
}

// supplier is a battery among those that feed a controller, what it can supply for
// a time, and what all in parallel supply when it has reached that.
type supplier struct {
	name, path string
	ownA, allA float64
	share      float64
	explain    func(*rules.Check)
}

// weakest finds the battery that reaches its limit first.
func (d drive) weakest(p *rules.Pass, s, drawn float64) (worst supplier, missing string) {
	for _, one := range d.strings {
		share := p.Circuit.Share(d.strings, one)
		for _, source := range one {
			b := p.Spec.Batteries[source.ID]
			g, path := supplies(b, s, share*drawn)
			if path != "" {
				return supplier{}, path
			}
			g.share, g.allA = share, g.ownA/share
			if worst.name == "" || g.allA < worst.allA {
				worst = g
			}
		}
	}
	own := worst.explain
	worst.explain = func(c *rules.Check) {
		own(c)
		if worst.share < 1 {
			c.Solved("s", "share of "+worst.name+" among the packs in parallel", worst.share, "", "by their typical resistances")
			c.Calc("I_all", "what they can supply together", "I / s", rules.Term(worst.ownA)+" / "+rules.Term(worst.share), worst.allA, "A")
		}
	}
	return worst, ""
}

// modeExceeds reports whether a mode draws more already than a battery can supply
// for the time that it lasts.
func (d drive) modeExceeds(p *rules.Pass, weakest supplier) bool {
	uses, failed := d.uses(p, demand.Empty)
	return failed == nil && slices.ContainsFunc(uses, func(u demand.Use) bool {
		s, _ := demand.Longest(p.Spec, u.Mode)
		drawn := weakest.share * u.A
		g, missing := supplies(p.Spec.Batteries[weakest.name], s, drawn)
		return s > 0 && missing == "" && drawn > g.ownA
	})
}

// supplies is what a battery can supply for a time; it need not state a peak where
// its continuous current covers what is drawn.
func supplies(b *schema.Battery, s, drawn float64) (g supplier, missing string) {
	cont := func(c *rules.Check) {
		c.Given("I_c", "continuous current of "+b.ID, b.ContinuousA.Value, "A", b.Path()+".continuous_A")
	}
	peak := func(c *rules.Check) {
		c.Given("I_pk", "peak current of "+b.ID, b.PeakA.Value, "A", b.Path()+".peak_A")
		if b.PeakS.Known {
			c.Given("t_pk", "duration of that peak", b.PeakS.Value, "s", b.Path()+".peak_s")
		}
	}
	g.name = b.ID
	switch {
	case b.ContinuousA.Known && drawn <= b.ContinuousA.Value:
		g.ownA, g.path, g.explain = b.ContinuousA.Value, b.Path()+".continuous_A", cont
	case !b.PeakA.Known:
		return supplier{}, b.Path() + ".peak_A"
	case drawn > b.PeakA.Value, b.PeakS.Known && s <= b.PeakS.Value:
		g.ownA, g.path, g.explain = b.PeakA.Value, b.Path()+".peak_A", peak
	case !b.PeakS.Known:
		return supplier{}, b.Path() + ".peak_s"
	case !b.ContinuousA.Known:
		return supplier{}, b.Path() + ".continuous_A"
	default:
		a, _ := calc.BurstCurrent(b.PeakA.Value, b.PeakS.Value, b.ContinuousA.Value, s) // all above 0 by the schema
		g.ownA, g.path = a.Value, b.Path()+".peak_A"
		g.explain = func(c *rules.Check) {
			peak(c)
			cont(c)
			if !math.IsInf(s, 1) {
				c.Line("I_t", "current for that time with the same heating", a)
			}
		}
	}
	return g, ""
}
