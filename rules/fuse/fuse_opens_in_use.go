package fuse

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func opensInUse() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-opens-in-use",
		Family: family,
		Title:  "a fuse may open in normal use",
		Why: "A fuse that opens on a hill stops the drive with nothing wrong, and is then replaced by a larger one " +
			"that no longer protects the cable.",
		Relation: "for each mode, each step of the declared cycle, each controller at its battery-side limit for peak_s, each motor while it starts, and coils with an economiser while they pull in: " +
			"the current is at most what the fuse's shortest opening time allows for that long, times the ambient factor; a fuse still warm from the current before " +
			"opens sooner, by ln((I^2 - I_p^2) / (I^2 - I_h^2)) / ln(I^2 / (I^2 - I_h^2))",
		Source: "the fuse's own curve, or the gate of its class (ISO 8820-3 and -5, IEC 60269-1); a curve shifts with the ambient " +
			"like the rating, common practice; from the warm state by the thermal replica of IEC 60255-149; a small motor starts within 0.5 s, common practice",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"fuses.opening", "controllers.peak_s", "modes.lasts_s", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a larger or slower fuse, with conductors and contacts that suit it, or lower the controller's battery-side limit",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "controllers.drive.battery_peak_A", Value: "240"}}},
		Check: checkOpensInUse,
	}
}

func checkOpensInUse(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		evalRide(s, c, f)
		return true
	})
}

// ride is a current against what the fuse withstands for its time.
type ride struct {
	stress
	limitA float64
	warmth
	coldS float64 // the time that is as much for a cold fuse as the stress is for a warm one
}

// warmth is how warm a fuse is when a current begins, and what that leaves of its
// cold opening time.
type warmth struct {
	tau    calc.Line // of its element, by its shortest opening time at the current
	priorA float64   // the steady current that makes it as warm
	holdA  float64
	share  float64   // of the cold opening time that is left; 1 where it does not matter
	left   calc.Line // that share with its line, where it matters
}

// warm works out how warm a fuse is when a current begins. Below what it withstands
// indefinitely it never opens, however warm.
func warm(f *schema.Fuse, curve *calc.Curve, x stress) warmth {
	w := warmth{holdA: curve.NonFusingA() * heatFactor(f, x.air), share: 1}
	if x.cycle == nil || w.holdA <= 0 {
		return w
	}
	opensS := curve.MinTime(x.amperes / heatFactor(f, x.air))
	tau, ok := calc.OpeningTimeConstant(x.amperes, w.holdA, opensS)
	if !ok {
		return w
	}
	held, err := calc.PeriodicHeating(x.cycle, tau.Value)
	if err != nil {
		return w
	}
	w.tau, w.priorA = tau, held[(x.step+len(held)-1)%len(held)]
	if left, err := calc.PreheatedShare(x.amperes, w.priorA, w.holdA); err == nil {
		w.share, w.left = left.Value, left
	}
	return w
}

func newRide(f *schema.Fuse, curve *calc.Curve, x stress) ride {
	r := ride{stress: x, warmth: warm(f, curve, x), coldS: x.seconds}
	if r.share < 1 {
		r.coldS = x.seconds / r.share
	}
	r.limitA = curve.RidesForA(r.coldS) * heatFactor(f, x.air)
	return r
}

// explainWarm adds what an earlier current leaves of the opening time to a working.
func (r ride) explainWarm(w *rules.Working, f *schema.Fuse) {
	if r.share == 1 {
		return
	}
	w.Solved("I_h", "current that "+f.ID+" withstands indefinitely, at the ambient", r.holdA, "A", "its curve and its ambient factor, below")
	w.Line("tau", "time constant of its element, by its shortest opening time at I", r.tau)
	terms := ""
	for i, step := range r.cycle {
		if i > 0 {
			terms += ", "
		}
		terms += rules.Term(step.CurrentA) + " A for " + rules.Term(step.S) + " s"
	}
	w.Calc("I_p", "steady current that makes it as warm as it is when the current begins", "sqrt(theta), theta' = I^2 + (theta - I^2) exp(-t / tau), in the periodic state", terms, r.priorA, "A")
	w.Line("f_p", "share of its cold opening time that is left, IEC 60255-149", r.left)
	w.Calc("t_c", "equivalent time from cold", "t / f_p", rules.Term(r.seconds)+" / "+rules.Term(r.share), r.coldS, "s")
}

func evalRide(s *supply, c *rules.Check, f *schema.Fuse) {
	if demand.CycleUnknown(c, s.Spec) || s.inPhase(c, f) {
		return
	}
	list, unsettled := s.stresses(f)
	if unsettled != nil {
		c.Unsettled(unsettled, f.ID)
		return
	}
	curve, err := s.curve(f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	if len(list) == 0 {
		c.NotChecked("modes", "%s: no mode says what it carries", f.ID)
		return
	}
	worst, doubtful := worstRide(f, curve, list)
	c.In(worst.mode, "")
	worst.steps(c.Working)
	worst.explainWarm(c.Working, f)
	rides := ridesForA(c.Working, f, curve, worst.coldS)
	t := heat(c.Working, f, worst.air)
	limit := c.Calc("I_ride", "current that "+f.ID+" withstands for that long", "f_T I_t", rules.Term(t)+" * "+rules.Term(rides), t*rides, "A")
	switch {
	case worst.amperes > limit && !knowsMelting(curve):
		c.NotChecked(f.Path()+".opening.min", "%s: %s A %s, above the continuous limit of its class; its shortest opening times are not known",
			f.ID, rules.Figure(worst.amperes), worst.what)
		return
	case worst.amperes <= limit && doubtful != "":
		c.NotChecked(doubtful, "%s carries a peak current whose duration is not declared", f.ID)
		return
	}
	if worst.amperes > limit && (worst.continuous() || worst.share == 0) {
		c.Because("fuse-overloaded", f.ID)
	}
	if worst.amperes*s.Required() > limit {
		c.Fix("%s; or use a slower fuse (this one may open after %s at %s A)", s.larger(f, f.RatedA*(1+1e-6)),
			seconds(curve.MinTime(worst.amperes/t)), rules.Figure(worst.amperes))
	}
	long := "for that long"
	if math.IsInf(worst.seconds, 1) {
		long = "continuously"
	}
	c.AtMost(rules.Amperes(worst.amperes), rules.Amperes(limit), "%s: %s A %s%s, withstands %s A %s",
		f.ID, rules.Figure(worst.amperes), worst.what, worst.duration(), rules.Figure(limit), long)
}

// worstRide picks the current that comes nearest to opening the fuse.
func worstRide(f *schema.Fuse, curve *calc.Curve, list []stress) (worst ride, doubtful string) {
	for _, x := range list {
		r := newRide(f, curve, x)
		if x.missing != "" {
			if x.amperes > r.limitA && doubtful == "" {
				doubtful = x.missing
			}
			continue
		}
		if worst.what == "" || r.amperes*worst.limitA > worst.amperes*r.limitA*(1+1e-9) {
			worst = r
		}
	}
	if worst.what == "" {
		worst = ride{stress: list[0], warmth: warmth{share: 1}}
		worst.amperes, worst.seconds, worst.coldS = 0, math.Inf(1), math.Inf(1)
	}
	return worst, doubtful
}

// knowsMelting reports whether anything is known of how soon a fuse may open.
func knowsMelting(c *calc.Curve) bool {
	_, melts := c.MeltingI2t()
	return melts
}

// ridesForA is the current in A that a fuse withstands for a time, with its steps.
func ridesForA(w *rules.Working, f *schema.Fuse, curve *calc.Curve, s float64) float64 {
	w.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	source := curve.MinSource()
	if source == "declared" {
		w.GivenText("curve", "shortest opening times of "+f.ID, pointsText(f.Opening.Min), f.Path()+".opening.min")
		source = "the declared points of " + f.ID + ", log-log between them"
	}
	if source == "" {
		source = "class " + f.Class
	}
	a := curve.RidesForA(s)
	if math.IsInf(s, 1) || a <= curve.NonFusingA()*(1+1e-9) {
		return w.Standard("I_t", "current at which "+f.ID+" never opens", a, "A", source)
	}
	return w.Standard("I_t", fmt.Sprintf("current at which %s may open after %s s", f.ID, rules.Figure(s)), a, "A", source)
}

func pointsText(points []schema.CurrentTime) string {
	text := ""
	for i, p := range points {
		if i > 0 {
			text += ", "
		}
		text += rules.Figure(p.CurrentA) + " A in " + rules.Figure(p.S) + " s"
	}
	return text
}

// duration says how long a stress lasts.
func (x stress) duration() string {
	if math.IsInf(x.seconds, 1) {
		return ""
	}
	return " for " + seconds(x.seconds)
}
