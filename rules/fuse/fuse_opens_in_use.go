package fuse

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/calc"
	"example.org/headroom/schema"
)

func opensInUse() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-opens-in-use",
		Family: family,
		Title:  "a fuse may open at a current of normal use",
		Why: "A fuse that opens on the hill takes the drive away with nothing wrong, and is then replaced by a larger one " +
			"that no longer protects the cable.",
		Relation: "for each mode, for each controller at its battery-side limit for peak_s, and for each motor while it starts: " +
			"the current is at most what the fuse's shortest opening time allows for that long, times the ambient factor",
		Source: "the fuse's own curve, or the gate of its class (ISO 8820-3 and -5, IEC 60269-1); a curve shifts with the ambient " +
			"like the rating, common practice; a small motor starts within 0.5 s, common practice",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a larger or slower fuse, if the conductors behind it allow it, or lower the controller's battery-side limit",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "controllers.drive.battery_peak_A", Value: "240"}}},
		Check: checkOpensInUse,
	}
}

func checkOpensInUse(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		judgeRide(s, c, f)
		return true
	})
}

// ride is a current against what the fuse is sure to carry for its time.
type ride struct {
	stress
	limitA float64
}

func judgeRide(s *supply, c *rules.Check, f *schema.Fuse) {
	list, unsolved := s.stresses(f)
	if unsolved != "" {
		c.NotChecked("a solution of mode "+unsolved, "the circuit in mode %s could not be solved", unsolved)
		return
	}
	curve, err := s.curve(f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	if len(list) == 0 {
		c.NotChecked("modes", "no mode of use says what flows through %s", f.ID)
		return
	}
	worst, doubtful := worstRide(f, curve, list)
	c.In(worst.mode, "")
	worst.steps(c.Working)
	rides := carries(c.Working, f, curve, worst.seconds)
	t := heat(c.Working, f, worst.air)
	limit := c.Calc("I_ride", "current that "+f.ID+" is sure to carry for that long", "f_T I_t", rules.Figure(t)+" * "+rules.Figure(rides), t*rides, "A")
	switch {
	case worst.amperes > limit && !knowsMelting(curve):
		c.NotChecked(f.Path()+".opening.min", "%s sees %s A %s, above what its class carries for good; its shortest opening times are not known",
			f.ID, rules.Figure(worst.amperes), worst.what)
		return
	case worst.amperes <= limit && doubtful != "":
		c.NotChecked(doubtful, "%s carries a peak current of which nothing says how long it lasts", f.ID)
		return
	}
	if worst.continuous() && worst.amperes > limit {
		c.Because("fuse-overloaded", f.ID)
	}
	c.Fix("use a larger or slower fuse, if the conductors behind it allow it: this one may open after %s s at %s A",
		rules.Figure(curve.MinTime(worst.amperes/t)), rules.Figure(worst.amperes))
	long := "for that long"
	if math.IsInf(worst.seconds, 1) {
		long = "for good"
	}
	c.AtMost(amperes(worst.amperes), amperes(limit), "%s sees %s A %s%s; it is sure to carry %s A %s",
		f.ID, rules.Figure(worst.amperes), worst.what, worst.duration(), rules.Figure(limit), long)
}

// worstRide picks the current that comes nearest to opening the fuse.
func worstRide(f *schema.Fuse, curve *calc.Curve, list []stress) (worst ride, doubtful string) {
	for _, x := range list {
		r := ride{stress: x, limitA: curve.RidesForA(x.seconds) * heatFactor(f, x.air)}
		if x.missing != "" {
			if x.amperes > r.limitA && doubtful == "" {
				doubtful = x.missing
			}
			continue
		}
		if worst.what == "" || r.amperes*worst.limitA > worst.amperes*r.limitA {
			worst = r
		}
	}
	if worst.what == "" {
		worst = ride{stress: list[0]}
		worst.amperes, worst.seconds = 0, math.Inf(1)
	}
	return worst, doubtful
}

// knowsMelting reports whether anything is known of how soon a fuse may open.
func knowsMelting(c *calc.Curve) bool {
	_, melts := c.MeltingI2t()
	return melts
}

// carries is the current that a fuse is sure to carry for a time, with its
// steps.
func carries(w *rules.Working, f *schema.Fuse, curve *calc.Curve, s float64) float64 {
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
		return w.Standard("I_t", "current that never opens "+f.ID, a, "A", source)
	}
	return w.Standard("I_t", fmt.Sprintf("current that may open %s after %s s, no sooner", f.ID, rules.Figure(s)), a, "A", source)
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
	return " for " + rules.Figure(x.seconds) + " s"
}
