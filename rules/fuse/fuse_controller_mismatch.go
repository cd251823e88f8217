package fuse

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func controllerMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-controller-mismatch",
		Family: family,
		Title:  "a fuse does not match the battery-side current of its controller",
		Why: "A controller is sold by its motor current, which is two or three times what it draws from the battery. Taken for the battery side, " +
			"that figure leads to a fuse that protects nothing, or to a limit in the specification that the controller never had.",
		Relation: "battery_continuous_A <= I_n <= 1.25 battery_peak_A, for the last fuse before the controller",
		Source:   "common practice: a fuse of about the controller's battery-side rating",
		Level:    rules.Note,
		Required: 1,
		Fix:      "check that battery_peak_A is the battery-side limit and not the motor current, then size the fuse by it",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.rated_A", Value: "160"}}},
		Check: checkControllerMismatch,
	}
}

// mismatchFactor is how far the fuse may be above the controller's peak.
const mismatchFactor = 1.25

func checkControllerMismatch(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		for id, controller := range schema.Sorted(p.Spec.Controllers) {
			if s.nearest(f.ID, id+".pos") {
				evalMismatch(s, c, f, controller)
				break
			}
		}
		return true
	})
}

// matchesController reports whether a rating in A of a fuse is not too much for a
// controller that it is the last fuse before.
func (s *supply) matchesController(f *schema.Fuse, ratedA float64) bool {
	for id, k := range s.Spec.Controllers {
		if k.BatteryPeakA.Known && ratedA > mismatchFactor*k.BatteryPeakA.Value && s.nearest(f.ID, id+".pos") {
			return false
		}
	}
	return true
}

func evalMismatch(s *supply, c *rules.Check, f *schema.Fuse, k *schema.Controller) {
	if !k.BatteryPeakA.Known {
		c.NotChecked(k.Path()+".battery_peak_A", "%s: the battery-side current limit of %s is not declared", f.ID, k.ID)
		return
	}
	c.Related(k.Path()+".battery_peak_A", "the controller's limit")
	n := c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	if cont := k.BatteryContinuousA; cont.Known && n < cont.Value {
		c.Given("I_B", "continuous battery-side current of "+k.ID, cont.Value, "A", k.Path()+".battery_continuous_A")
		c.Fix("check that battery_continuous_A of %s is the battery-side limit and not the motor current; if it is, use a fuse of at least %s A for %s, with conductors to suit", k.ID, rules.Figure(rules.RoundUp(s.Required()*cont.Value, 1)), f.ID)
		c.AtLeast(rules.Amperes(cont.Value), rules.Amperes(n), "%s: rated %s A, %s draws %s A continuous", f.ID, rules.Figure(n), k.ID, rules.Figure(cont.Value))
		return
	}
	peak := c.Given("I_peak", "battery-side limit of "+k.ID, k.BatteryPeakA.Value, "A", k.Path()+".battery_peak_A")
	limit := c.Calc("I_max", "greatest rating that matches it", "1.25 I_peak", "1.25 * "+rules.Term(peak), mismatchFactor*peak, "A")
	text := fmt.Sprintf("check that battery_peak_A of %s is the battery-side limit and not the motor current", k.ID)
	if n*s.Required() > limit {
		if down, ok := s.smaller(f, limit/s.Required()); ok {
			text += fmt.Sprintf("; if it is, use a fuse of %s A for %s", rules.Figure(down), f.ID)
		} else {
			text += fmt.Sprintf("; if it is, %s may stay: no smaller one carries the current in use", f.ID)
		}
	}
	c.Fix("%s", text)
	c.AtMost(rules.Amperes(n), rules.Amperes(limit), "%s: rated %s A, matches %s up to %s A (it draws at most %s A from the battery)", f.ID, rules.Figure(n), k.ID, rules.Figure(limit), rules.Figure(peak))
}
