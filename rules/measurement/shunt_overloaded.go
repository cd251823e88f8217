package measurement

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func shuntOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "shunt-overloaded",
		Family: family,
		Title:  "a shunt carries more continuously than it should",
		Why: "A shunt turns its millivolts into heat. At its full rating it runs so hot that its resistance, and with it the reading, drifts; " +
			"above it the solder at its ends softens and the main circuit opens under load.",
		Relation: "the current of every mode that goes on continuously, and the steady current that heats as much as the cycle at its hottest (tau 2 min), " +
			"<= policy.shunt_continuous_percent of rated_A",
		Source:   "common practice: two thirds of the rating continuously; thermal replica of IEC 60255-149, the time constant from memory",
		Level:    rules.Error,
		Varies:   "warning as long as it stays within its rating",
		Required: 1,
		Policy:   []string{"policy.shunt_continuous_percent"},
		Fix:      "use a shunt of a higher rating with the same millivolts, and a meter scale to match",
		Example: rules.Example{Vehicle: "heron", Subject: "shunt", Edits: []rules.Edit{
			{Path: "shunts.shunt.rated_A", Value: "75"}}},
		Check: checkShunts(judgeOverload),
	}
}

// tauS is the time constant of the heating of a shunt in s: two to five minutes
// (from memory); the shorter one heats sooner.
const tauS = 120

func judgeOverload(c *rules.Check, p *rules.Pass, s shunt) {
	uses, ok := s.currents(c, p)
	if !ok {
		return
	}
	duty, ok := demand.Hottest(p.Spec, uses, tauS)
	if !ok {
		c.NotChecked("modes", "no mode says what flows through %s", s.ID)
		return
	}
	mode := "the cycle"
	if duty.Mode != nil {
		mode = "mode " + duty.Mode.ID
		c.In(duty.Mode.ID, duty.At.String())
	}
	duty.Work(c.Working, s.ID, tauS, "from memory")
	rated := c.Given("I_s", "rating of "+s.ID, s.RatedA, "A", s.field("rated_A"))
	share := c.Default("f", "share of it continuously", p.Spec.Policy.ShuntContinuousPercent, "%", "policy.shunt_continuous_percent")
	limit := c.Calc("I_c", "what it carries continuously", "f I_s", rules.Term(share)+"/100 * "+rules.Term(rated), share/100*rated, "A")
	if duty.EqA <= rated {
		c.Level(rules.Warning)
	}
	c.Fix("use a shunt of %s A or more", rules.Figure(rules.RoundUp(100*duty.EqA/share, 1)))
	what := "carries"
	if duty.Steps != nil {
		what = "is heated as by a steady"
	}
	c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(limit), "%s %s %s A in %s; continuously it carries %s %% of its %s A, %s A",
		s.ID, what, rules.Figure(duty.EqA), mode, rules.Figure(share), rules.Figure(rated), rules.Figure(limit))
}
