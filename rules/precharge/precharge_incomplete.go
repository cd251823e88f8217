package precharge

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
)

func prechargeLeftHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-incomplete",
		Family: family,
		Title:  "the contactor closes before the capacitors are charged",
		Why: "The charge still missing from the capacitors when the contactor closes comes through its contacts in a millisecond. " +
			"They pit a little each time, until one day they weld.",
		Relation: "the voltage across the contact when it closes <= policy.precharge_left_percent of the supply; v(t) of the capacitors by the delay closes_after_s, " +
			"including what draws from them meanwhile, and between the key and the contact where the same hand turns both on",
		Source:   "circuit theory (charging of a capacitor); the limit is common practice",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.precharge_left_percent"},
		Vital:    []string{"contactors.closes_after_s", "controllers.capacitance_uF", "converters.input.capacitance_uF"},
		Fix:      "delay the contactor longer, or use a smaller pre-charge resistance",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "timers.soft_timer.set_s", Value: "0.5"}}},
		Check: checkLeft,
	}
}

func checkLeft(p *rules.Pass) {
	for _, a := range charging.Attempts(p) {
		c, ok := onContactor(p, a)
		if !ok {
			continue
		}
		if v, ok := full(c, p, a); ok {
			evalLeft(c.In(a.Mode, "pack full"), p, a, v)
		}
	}
}

func evalLeft(c *rules.Check, p *rules.Pass, a charging.Attempt, v float64) {
	id := a.Contactor.ID
	left, trouble := a.ExplainLeft(p, c.Working, v)
	if trouble != nil && trouble.Never {
		c.Because("precharge-stalls", id)
	}
	if unknown(c, trouble) {
		return
	}
	share := c.Calc("y", "share of the supply that is left across it", "dV / V_w", "100 * "+rules.Term(left)+" / "+rules.Term(v), 100*left/v, "%")
	limit := c.Default("y_max", "most that is allowed", p.Spec.Policy.PrechargeLeftPercent, "%", "policy.precharge_left_percent")
	if share > limit {
		blame(c, p, a, v)
	}
	switch {
	case a.Stalls(p): // as it is blamed already
	case !a.Supplied():
		c.Because("contactor-not-keyed", id) // it closes in a mode in which nothing charges
	case !a.Premise.Made():
		c.Because("precharge-delay-unmade", id)
	case a.Premise.By == charging.Hand:
		declared, path := a.Contactor.Delay()
		c.AsDeclared(path, "a person waits "+rules.Figure(declared.Value)+" s before "+id+" closes")
	}
	c.AtMost(percent(share), percent(limit), "%s: closes with %s V across it, %s %% of the supply, limit %s %%", id, rules.Figure(left), rules.Figure(share), rules.Figure(limit))
}

// blame says what a finding follows from, or else how long the contactor must wait, so
// that contactor-make-low and the resistor's own rules hold as well.
func blame(c *rules.Check, p *rules.Pass, a charging.Attempt, v float64) {
	id, resize := a.Contactor.ID, a.Resize(p, v)
	if resize != "" {
		c.Fix("%s", resize)
	}
	if a.Stalls(p) {
		c.Because("precharge-stalls", id)
		return
	}
	if text := charging.DipFix(p, a); text != "" {
		c.Fix("%s", text)
		return
	}
	if at, _ := a.Contactor.Awaits(); at != nil && a.Awaits() {
		if percent, ok := a.Percent(p, v, 0); ok {
			c.Fix("raise closes_at.percent of %s from %s to %s", id, rules.Figure(at.Percent), rules.Figure(percent))
		}
		return
	}
	if s, ok := a.Enough(p, v, 0); ok && a.Delay().Known {
		s = rules.RoundUp(s, 0.1)
		rated := ""
		if a.Plain() {
			if need := charging.RatingText(a.Ratings(p, a.Resistors[0].ResistanceOhm, v, s)); need != "" {
				rated = ", with " + a.Resistors[0].ID + " rated at least " + need
			}
		}
		c.Fix("%s%s", a.Longer(p, s), rated)
	}
}
