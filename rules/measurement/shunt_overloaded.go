package measurement

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func shuntOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "shunt-overloaded",
		Family: family,
		Title:  "a shunt carries more continuous current than it should",
		Why: "A shunt turns its millivolts into heat. At its full rating it runs so hot that its resistance, and with it the reading, drifts; " +
			"above it the solder at its ends softens and the main circuit opens under load.",
		Relation: "the current of every continuous mode, and the equivalent continuous current over the cycle at its hottest (tau 2 min), " +
			"<= policy.shunt_continuous_percent of rated_A; and through each sense screw no more than 1 A, the supply of an instrument",
		Source:   "common practice: two thirds of the rating continuously; thermal replica of IEC 60255-149, the time constant from memory",
		Level:    rules.Error,
		Varies:   "warning as long as the shunt stays within its rating",
		Required: 1,
		Policy:   []string{"policy.shunt_continuous_percent"},
		Fix:      "use a shunt of a higher rating with the same millivolts, and a meter scale to match",
		Example: rules.Example{Vehicle: "heron", Subject: "shunt", Edits: []rules.Edit{
			{Path: "shunts.shunt.rated_A", Value: "75"}}},
		Check: func(p *rules.Pass) {
			checkShunts(checkLoad)(p)
			checkSenseScrews(p)
		},
	}
}

// tauS is the time constant of the heating of a shunt in s: two to five minutes
// (from memory); the shorter one heats sooner.
const tauS = 120

// larger is the fix for a shunt that has to be rated for a current in A: its meter
// shows what flows only if its millivolts belong to the new amperes.
func (s shunt) larger(p *rules.Pass, a float64) string {
	text := fmt.Sprintf("use a shunt of at least %s A with the same %s mV at its rating", rules.Figure(a), rules.Figure(s.DropMV))
	for _, m := range meters(p) {
		if m.Shunt == s.ID {
			text += fmt.Sprintf(", and set or replace the scale of %s to match: the new amperes at %s mV", m.ID, rules.Figure(s.DropMV))
		}
	}
	return text
}

// duty is what the shunt carries, with the greatest current of it in A. It reports the check
// as not made, and false, where that is not known.
func (s shunt) duty(c *rules.Check, p *rules.Pass) (d demand.Duty, most float64, ok bool) {
	if phase, in := demand.For(p).PhaseOf(s.set()); in {
		d, unknown := phase.Duty(s.ID, tauS, s.RatedA)
		if unknown != nil {
			unknown(c)
		}
		return d, phase.MostA(), unknown == nil
	}
	uses, ok := s.currents(c, p)
	if !ok {
		return d, 0, false
	}
	if d, ok = demand.Hottest(p.Spec, uses, tauS); !ok {
		c.NotChecked("modes", "no mode says what flows through %s", s.ID)
	}
	return d, math.Abs(demand.Greatest(uses).A), ok
}

func checkLoad(c *rules.Check, p *rules.Pass, s shunt) {
	duty, most, ok := s.duty(c, p)
	if !ok {
		return
	}
	duty.In(c)
	duty.Explain(c.Working, s.ID, tauS, "from memory")
	rated := c.Given("I_s", "rating of "+s.ID, s.RatedA, "A", s.field("rated_A"))
	share := c.Default("f", "share of it allowed continuously", p.Spec.Policy.ShuntContinuousPercent, "%", "policy.shunt_continuous_percent")
	limit := c.Calc("I_c", "continuous current allowed", "f I_s", rules.Term(share)+"/100 * "+rules.Term(rated), share/100*rated, "A")
	if duty.EqA <= rated {
		c.Level(rules.Warning)
	}
	if duty.EqA*p.Required() > limit {
		c.Fix("%s", s.larger(p, rules.RoundUp(max(100*p.Required()*duty.EqA/share, most), 1)))
	}
	var what string
	switch eq := rules.Figure(duty.EqA); {
	case duty.Phase != nil:
		what = eq + " A " + duty.Said()
	case duty.Cycle || duty.Mode == nil:
		what = "equivalent continuous current " + eq + " A over the cycle"
	case duty.Steps != nil:
		what = "equivalent continuous current " + eq + " A in repeated mode " + duty.Mode.ID
	default:
		what = eq + " A in mode " + duty.Mode.ID
	}
	c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(limit), "%s: %s, limit %s A continuous (%s %% of its %s A)",
		s.ID, what, rules.Figure(limit), rules.Figure(share), rules.Figure(rated))
}
