package fuse

import (
	"fmt"
	"strings"

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
		Relation: "battery_continuous_A <= I_n <= 1.25 battery_peak_A, for the last fuse before the controller; of several behind one fuse the sums",
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
		if behind := s.controllersOf(f.ID); len(behind) > 0 {
			evalMismatch(s, c, f, behind)
		}
		return true
	})
}

// controllersOf lists the controllers that a fuse is the last one before.
func (s *supply) controllersOf(fuse string) (out []*schema.Controller) {
	for id, k := range schema.Sorted(s.Spec.Controllers) {
		if !k.Spare && s.nearest(fuse, id+".pos") {
			out = append(out, k)
		}
	}
	return out
}

// matchesController reports whether a rating in A of a fuse is not too much for the
// controllers that it is the last fuse before.
func (s *supply) matchesController(f *schema.Fuse, ratedA float64) bool {
	behind := s.controllersOf(f.ID)
	var peak float64
	for _, k := range behind {
		if !k.BatteryPeakA.Known {
			return true
		}
		peak += k.BatteryPeakA.Value
	}
	return len(behind) == 0 || ratedA <= mismatchFactor*peak
}

func evalMismatch(s *supply, c *rules.Check, f *schema.Fuse, behind []*schema.Controller) {
	var names []string
	for _, k := range behind {
		if !k.BatteryPeakA.Known {
			c.NotChecked(k.Path()+".battery_peak_A", "%s: the battery-side current limit of %s is not declared", f.ID, k.ID)
			return
		}
		c.Related(k.Path()+".battery_peak_A", "the controller's limit")
		names = append(names, k.ID)
	}
	all, draws := rules.And(names), "draws"
	if len(names) > 1 {
		draws = "draw"
	}
	n := c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	if cont, ok := continuousOf(behind); ok && n < cont {
		cont = explainSum(c, behind, "I_B", "continuous battery-side current", ".battery_continuous_A", func(k *schema.Controller) float64 { return k.BatteryContinuousA.Value })
		c.Fix("check that battery_continuous_A of %s is the battery-side limit and not the motor current; if it is, use a fuse of at least %s A for %s, with conductors to suit", all, rules.Figure(rules.RoundUp(s.Required()*cont, 1)), f.ID)
		c.AtLeast(rules.Amperes(cont), rules.Amperes(n), "%s: rated %s A, %s %s %s A continuous", f.ID, rules.Figure(n), all, draws, rules.Figure(cont))
		return
	}
	peak := explainSum(c, behind, "I_peak", "battery-side limit", ".battery_peak_A", func(k *schema.Controller) float64 { return k.BatteryPeakA.Value })
	limit := c.Calc("I_max", "greatest rating that matches it", "1.25 I_peak", "1.25 * "+rules.Term(peak), mismatchFactor*peak, "A")
	text := fmt.Sprintf("check that battery_peak_A of %s is the battery-side limit and not the motor current", all)
	if n*s.Required() > limit {
		if down, ok := s.smaller(f, limit/s.Required()); ok {
			text += fmt.Sprintf("; if it is, use a fuse of %s A for %s", rules.Figure(down), f.ID)
		} else {
			text += fmt.Sprintf("; if it is, %s may stay: no smaller one carries the current in use", f.ID)
		}
	}
	c.Fix("%s", text)
	who := "it draws"
	if len(names) > 1 {
		who = "together they draw"
	}
	c.AtMost(rules.Amperes(n), rules.Amperes(limit), "%s: rated %s A, matches %s up to %s A (%s at most %s A from the battery)", f.ID, rules.Figure(n), all, rules.Figure(limit), who, rules.Figure(peak))
}

// continuousOf is the sum of the continuous currents of controllers in A, if all
// declare one.
func continuousOf(behind []*schema.Controller) (sum float64, ok bool) {
	for _, k := range behind {
		if !k.BatteryContinuousA.Known {
			return 0, false
		}
		sum += k.BatteryContinuousA.Value
	}
	return sum, true
}

// explainSum adds a current of each controller to the working, and their sum, which it
// returns.
func explainSum(c *rules.Check, behind []*schema.Controller, symbol, what, field string, of func(*schema.Controller) float64) float64 {
	if len(behind) == 1 {
		return c.Given(symbol, what+" of "+behind[0].ID, of(behind[0]), "A", behind[0].Path()+field)
	}
	var sum float64
	var terms []string
	for _, k := range behind {
		sum += c.Given(symbol+"_"+k.ID, what+" of "+k.ID, of(k), "A", k.Path()+field)
		terms = append(terms, rules.Term(of(k)))
	}
	return c.Calc(symbol, what+" of all", "sum", strings.Join(terms, " + "), sum, "A")
}
