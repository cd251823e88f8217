package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// fatigueShare is the share of its melting current that a fuse withstands
// repeatedly (common practice).
const fatigueShare = 0.60

func fatigued() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-fatigued",
		Family: family,
		Title:  "a repeated peak comes near the melting current of a fuse",
		Why: "Each peak heats and stretches the element, each pause lets it shrink. Near its melting current it cracks after " +
			"some hundred or thousand cycles and opens one day at a current that it had carried all year.",
		Relation: "a repeated current (every_s, or a step of the declared cycle) <= 0.60 of the current that may open the fuse in that time, or <= its continuous limit",
		Source:   "fuse application notes on cyclic loading, common practice",
		Level:    rules.Warning,
		Required: 1,
		Vital:    []string{"fuses.opening"},
		Fix:      "use a larger fuse, with conductors and contacts that suit it, or lower the peak",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "controllers.drive.battery_peak_A", Value: "140"}, {Path: "modes.climb.draw.drive.power_W", Value: "9000"}}},
		Check: checkFatigued,
	}
}

func checkFatigued(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		evalFatigue(s, c, f)
		return true
	})
}

// withstandsRepeatedly is the current in A that a fuse withstands repeatedly for the
// time of a stress.
func withstandsRepeatedly(f *schema.Fuse, curve *calc.Curve, x stress) float64 {
	return max(continuousLimit(f, x.air), fatigueShare*curve.RidesForA(x.seconds)*heatFactor(f, x.air))
}

func evalFatigue(s *supply, c *rules.Check, f *schema.Fuse) {
	if demand.CycleUnknown(c, s.Spec) || s.inPhase(c, f) {
		return
	}
	list, unsettled := s.stresses(f)
	if unsettled != nil {
		c.Unsettled(unsettled, f.ID)
		return
	}
	var repeated []stress
	for _, x := range list {
		if x.every > 0 && !x.continuous() && x.amperes > 0 {
			repeated = append(repeated, x)
		}
	}
	if len(repeated) == 0 {
		return // nothing is repeated
	}
	curve, err := s.curve(f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	withstands := func(x stress) float64 { return withstandsRepeatedly(f, curve, x) }
	worst := repeated[0]
	for _, x := range repeated {
		if x.amperes*withstands(worst) > worst.amperes*withstands(x) {
			worst = x
		}
	}
	c.In(worst.mode, "")
	worst.steps(c.Working)
	worst.explainEvery(c.Working)
	melts := ridesForA(c.Working, f, curve, worst.seconds)
	share := c.Standard("f_60", "share of the melting current that may be repeated", fatigueShare, "", "common practice")
	t := heat(c.Working, f, worst.air)
	limit := c.Calc("I_f", "cyclic limit of "+f.ID, "f_60 f_T I_t",
		rules.Term(share)+" * "+rules.Term(t)+" * "+rules.Term(melts), share*t*melts, "A")
	if continuousLimit(f, worst.air) > limit {
		limit = continuousSteps(c.Working, f, worst.air)
	}
	if worst.amperes > limit && !knowsMelting(curve) {
		c.NotChecked(f.Path()+".opening.min", "%s: repeated %s A peaks, its shortest opening times are not known", f.ID, rules.Figure(worst.amperes))
		return
	}
	if worst.amperes*s.Required() > limit {
		c.Fix("%s; or lower the peak to at most %s A", s.larger(f, f.RatedA*(1+1e-6)), rules.Figure(roundDown(limit/s.Required())))
	}
	if worst.amperes > limit {
		switch l, _ := worstContinuous(f, list); {
		case worst.amperes > newRide(f, curve, worst).limitA:
			c.Because("fuse-opens-in-use", f.ID)
		case l.limitA > 0 && l.effective > l.limitA:
			c.Because("fuse-overloaded", f.ID)
		}
	}
	c.AtMost(rules.Amperes(worst.amperes), rules.Amperes(limit), "%s: repeated %s A peaks of %s every %s in mode %s, cyclic limit %s A",
		f.ID, rules.Figure(worst.amperes), seconds(worst.seconds), seconds(worst.every), worst.mode, rules.Figure(limit))
}
