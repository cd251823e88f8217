package controller

import (
	"cmp"
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
		Relation: "battery_peak_A for peak_s, and battery_continuous_A without an end, with what the other controllers on the same batteries may draw for as long, <= what the batteries in parallel can supply together for that time (peak_A for peak_s of each; beyond its peak_s the " +
			"current with the same heating); of a pack with a switch inside the lesser of that and of what the switch lets out: bms.peak.A for bms.peak.s, else bms.discharge_A",
		Source:   "data sheets; adiabatic heating above a steady state (circuit theory), common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.controller-above-battery"},
		Vital: []string{
			"controllers.battery_peak_A", "controllers.peak_s", "batteries.continuous_A", "batteries.peak_A", "batteries.peak_s", "batteries.bms.discharge_A",
		},
		Fix: "set the controller's battery-side limit to what the pack can supply",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "batteries.pack.peak_A", Value: "105"}, {Path: "batteries.pack.continuous_A", Value: "100"}}},
		Check: checkAboveBattery,
	}
}

func checkAboveBattery(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		if !d.BatteryPeakA.Known && !d.BatteryContinuousA.Known {
			c.NotChecked(d.Path()+".battery_peak_A", "%s: its battery-side limit is not stated", d.ID)
			return
		}
		worst, missing := d.gravest(p)
		switch {
		case missing != "":
			c.NotChecked(missing, "%s may draw %s A by its own limit; whether the battery can supply that is not known", d.ID, rules.Figure(d.mostA()))
			return
		case worst.drawn <= worst.weakest.allA && d.BatteryPeakA.Known && math.IsInf(d.peakS(), 1) && d.BatteryContinuousA.Or(0) < d.BatteryPeakA.Value:
			c.NotChecked(d.Path()+".peak_s", "%s may draw %s A for a time that is not stated", d.ID, rules.Figure(d.BatteryPeakA.Value))
			return
		case worst.drawn <= worst.weakest.allA && !d.BatteryPeakA.Known:
			c.NotChecked(d.Path()+".battery_peak_A", "%s: its battery-side limit is not stated", d.ID)
			return
		}
		d.reportAbove(c, p, worst)
	})
}

// asked is what the controllers of a battery may draw at once for a time.
type asked struct {
	s       float64  // +Inf: continuously
	drawn   float64  // A
	from    []string // the controllers, that of the check first
	weakest supplier
}

// gravest is the peak, or what may be drawn continuously, that comes nearest to what the
// batteries can supply; or the path of what is missing to tell.
func (d drive) gravest(p *rules.Pass) (worst asked, missing string) {
	times := []float64{math.Inf(1)}
	if d.BatteryPeakA.Known && d.PeakS.Known {
		times = []float64{d.PeakS.Value, math.Inf(1)}
	}
	for _, s := range times {
		now := asked{s: s}
		for _, id := range append([]string{d.ID}, d.beside(p)...) {
			if a, _ := d.drawnFor(p, id, s); a > 0 {
				now.drawn, now.from = now.drawn+a, append(now.from, id)
			}
		}
		if now.drawn == 0 {
			continue
		}
		var path string
		if now.weakest, path = d.weakest(p, s, now.drawn); path != "" {
			missing = cmp.Or(missing, path)
			continue
		}
		if worst.from == nil || now.drawn*worst.weakest.allA > worst.drawn*now.weakest.allA*(1+1e-9) {
			worst = now
		}
	}
	if worst.from != nil && worst.drawn > worst.weakest.allA {
		return worst, ""
	}
	return worst, missing
}

// drawnFor is what a controller may draw for a time; continuously not what is a peak of
// unknown time.
func (d drive) drawnFor(p *rules.Pass, id string, s float64) (a float64, path string) {
	k := p.Spec.Controllers[id]
	if math.IsInf(s, 1) && k.BatteryContinuousA.Known {
		return k.BatteryContinuousA.Value, k.Path() + ".battery_continuous_A"
	}
	return demand.LimitFor(k, s)
}

func (d drive) peakS() float64 { return d.PeakS.Or(math.Inf(1)) }

func (d drive) mostA() float64 { return max(d.BatteryPeakA.Or(0), d.BatteryContinuousA.Or(0)) }

func (d drive) reportAbove(c *rules.Check, p *rules.Pass, worst asked) {
	var terms []string
	for i, id := range worst.from {
		a, path := d.drawnFor(p, id, worst.s)
		symbol, what := "I_lim", "battery-side limit of "+id
		if i > 0 {
			symbol, what = "I_"+id, "current that "+id+" may draw for as long"
			if id < d.ID {
				c.Because(p.Rule.ID, id)
			}
		}
		terms = append(terms, rules.Term(c.Given(symbol, what, a, "A", path)))
	}
	if !math.IsInf(worst.s, 1) {
		c.Given("t", "duration", worst.s, "s", d.Path()+".peak_s")
	}
	who, whose := rules.And(worst.from), "its own limit"
	if len(terms) > 1 {
		who, whose = who+" together", "their own limits"
		c.Calc("I_all", "all of them at once", "sum", strings.Join(terms, " + "), worst.drawn, "A")
	}
	weakest := worst.weakest
	weakest.explain(c)
	c.Related(weakest.path, "what the battery can supply")
	if worst.drawn > weakest.allA {
		switch endless := math.IsInf(worst.s, 1); {
		case weakest.inside:
			c.Because("bms-overloaded", weakest.name) // if a mode does so
		case !d.modeExceeds(p, weakest, endless):
		case endless:
			c.Because("battery-overloaded", weakest.name)
		default:
			c.Because("battery-peak-high", weakest.name)
		}
	}
	span := "for that time"
	if math.IsInf(worst.s, 1) {
		span = "continuously"
	}
	c.Fix("set the battery-side limit of %s to at most %s A", who, rules.Figure(rules.RoundDown(weakest.allA, 1)))
	c.AtMost(rules.Amperes(worst.drawn), rules.Amperes(weakest.allA), "%s may draw %s A by %s, %s can supply %s A %s",
		who, rules.Figure(worst.drawn), whose, weakest.name, rules.Figure(weakest.allA), span)
}

// supplier is a battery among those that feed a controller, what it can supply for
// a time, and what all in parallel supply when it has reached that.
type supplier struct {
	name, path string
	ownA, allA float64
	share      float64
	inside     bool // its switch sets that
	explain    func(*rules.Check)
}

// weakest finds the battery that reaches its limit first.
func (d drive) weakest(p *rules.Pass, s, drawn float64) (worst supplier, missing string) {
	for _, one := range d.strings {
		share := p.Circuit.Share(d.strings, one)
		for _, source := range one {
			b := p.Spec.Batteries[source.ID]
			g, path := supplies(b, s, share*drawn)
			if x, ok := switchSupplies(b, s); ok && (path == "" && x.ownA < g.ownA || path != "" && x.ownA < share*drawn) {
				g, path = x, ""
			}
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

// switchSupplies is what the switch in a battery lets out for a time: it opens beyond that
// at once, and does not wait for heat. It is not ok without one, or where it does not say.
func switchSupplies(b *schema.Battery, s float64) (g supplier, ok bool) {
	if b.BMS == nil {
		return g, false
	}
	path, what := b.Path()+".bms.discharge_A", "what the switch in "+b.ID+" lets out"
	g = supplier{name: b.ID, path: path, ownA: b.BMS.DischargeA.Value, inside: true}
	if peak := b.BMS.Peak; peak != nil && s <= peak.S && peak.A > g.ownA {
		g.ownA, g.path, what = peak.A, b.Path()+".bms.peak.A", what+" for "+rules.Figure(peak.S)+" s"
	}
	g.explain = func(c *rules.Check) { c.Given("I_s", what, g.ownA, "A", g.path) }
	return g, b.BMS.DischargeA.Known || g.path != path
}

// modeExceeds reports whether a mode draws more already than a battery can supply
// for the time that it lasts, or of those without an end continuously.
func (d drive) modeExceeds(p *rules.Pass, weakest supplier, endless bool) bool {
	uses, failed := d.uses(p, demand.Empty)
	return failed == nil && slices.ContainsFunc(uses, func(u demand.Use) bool {
		s, _ := demand.Longest(p.Spec, u.Mode)
		drawn := weakest.share * u.A
		if endless {
			return s == 0 && drawn > weakest.ownA
		}
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
	all := b.PeakA.Known && b.PeakS.Known && b.ContinuousA.Known
	switch {
	case b.ContinuousA.Known && math.IsInf(s, 1):
		g.ownA, g.path, g.explain = b.ContinuousA.Value, b.Path()+".continuous_A", cont
	case b.PeakA.Known && b.PeakS.Known && s <= b.PeakS.Value:
		g.ownA, g.path, g.explain = b.PeakA.Value, b.Path()+".peak_A", peak
	case !all && b.ContinuousA.Known && drawn <= b.ContinuousA.Value:
		g.ownA, g.path, g.explain = b.ContinuousA.Value, b.Path()+".continuous_A", cont
	case !b.PeakA.Known:
		return supplier{}, b.Path() + ".peak_A"
	case !all && drawn > b.PeakA.Value:
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
