package fuse

import (
	"fmt"
	"math"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func overloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-overloaded",
		Family: family,
		Title:  "a fuse carries more continuous current than its class allows",
		Why: "A vehicle fuse is rated on a cool test bench. At its full rating in a warm box it ages in weeks, " +
			"its holder discolours, and it opens on the road with nothing wrong behind it.",
		Relation: "the continuous current, and the root mean square of the declared cycle and of each repeated step with the continuous current between, <= f_c f_T I_n: " +
			"f_c = 0.80 for vehicle and UL classes, 0.75 glass, 1.0 gG, gR and aR; f_T is the derating at the hottest ambient",
		Source: "NFPA 70 210.20(A) (0.80), fuse application notes (0.75), IEC 60269 (1.0); ambient factors by common practice. " +
			"A mode longer than 600 s is continuous (common practice)",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"controllers.peak_s", "modes.lasts_s", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a fuse of the rating that the current needs, with conductors and contacts that suit it, or divide the loads over two fuses",
		Example: rules.Example{Vehicle: "heron", Subject: "head_fuse", Edits: []rules.Edit{
			{Path: "fuses.head_fuse.rated_A", Value: "2"}}},
		Check: checkOverloaded,
	}
}

func checkOverloaded(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		evalOverload(s, c, f)
		return true
	})
}

// continuousUse is a continuous current, or a repeated step with what flows between.
type continuousUse struct {
	stress
	baseA     float64 // between the steps
	effective float64 // root mean square
	limitA    float64
}

func evalOverload(s *supply, c *rules.Check, f *schema.Fuse) {
	if phase, in := demand.For(s.Pass).PhaseOf(s.Circuit.EdgesOf(f.ID)); in {
		evalPhaseOverload(s, c, f, phase)
		return
	}
	if demand.CycleUnknown(c, s.Spec) {
		return
	}
	list, unsettled := s.stresses(f)
	switch {
	case unsettled != nil:
		c.Unsettled(unsettled, f.ID)
		return
	case len(s.Spec.Modes) == 0:
		c.NotChecked("modes", "%s: no mode says what it carries", f.ID)
		return
	}
	if _, ok := calc.FuseClass(f.Class).Loading(); !ok {
		c.NotChecked(f.Path()+".class", "%s: class %q has no published continuous limit", f.ID, f.Class)
		return
	}
	worst, doubtful := worstContinuous(f, list)
	c.In(worst.mode, "")
	worst.explainOut(c.Working, f)
	limit := continuousSteps(c.Working, f, worst.air)
	if ratio := limit / worst.effective; doubtful != "" && ratio >= 1 {
		c.NotChecked(doubtful, "%s carries a peak current whose duration is not declared", f.ID)
		return
	}
	if limit < s.Required()*worst.effective {
		c.Fix("%s", s.larger(f, s.Required()*worst.effective*f.RatedA/limit))
	}
	c.AtMost(rules.Amperes(worst.effective), rules.Amperes(limit), "%s: %s A %s, continuous limit %s A (%s A fuse)",
		f.ID, rules.Figure(worst.effective), worst.describe(), rules.Figure(limit), rules.Figure(f.RatedA))
}

// evalPhaseOverload checks a fuse between a controller and a motor by the phase current
// that the controller lets flow continuously.
func evalPhaseOverload(s *supply, c *rules.Check, f *schema.Fuse, phase demand.Phase) {
	a, path, known := phase.ContinuousA()
	if !known {
		c.NotChecked(path, "%s: the phase current that %s lets flow continuously is not stated", f.ID, phase.By.ID)
		return
	}
	if _, ok := calc.FuseClass(f.Class).Loading(); !ok {
		c.NotChecked(f.Path()+".class", "%s: class %q has no published continuous limit", f.ID, f.Class)
		return
	}
	c.Given("I_ph", "phase current that "+phase.By.ID+" lets flow continuously", phase.By.PhaseContinuousA.Value, "A", path)
	c.Solved("I", "of it in "+f.ID+", root mean square", a, "A", "as the controller states it: rms, or peak of a sine")
	limit := continuousSteps(c.Working, f, s.airAt(f))
	c.Fix("take the fuse out: the controller protects its phases, and one phase that opens leaves the motor on the other two")
	c.AtMost(rules.Amperes(a), rules.Amperes(limit), "%s: %s A rms of phase current of %s, continuous limit %s A (%s A fuse)",
		f.ID, rules.Figure(a), phase.By.ID, rules.Figure(limit), rules.Figure(f.RatedA))
}

// worstContinuous picks the greatest continuous current against the limit of the fuse.
// A peak without a duration that would be too much is named instead, by the
// path of what is missing.
func worstContinuous(f *schema.Fuse, list []stress) (worst continuousUse, doubtful string) {
	var base float64
	for _, x := range list {
		if x.continuous() {
			base = max(base, x.amperes)
		}
	}
	for _, x := range list {
		l := continuousUse{stress: x, effective: x.amperes}
		l.limitA = continuousLimit(f, x.air)
		switch {
		case x.missing != "":
			if x.mode != "" && x.amperes > l.limitA && doubtful == "" {
				doubtful = x.missing
			}
			continue
		case x.continuous():
		case x.declared:
			l.effective, _, _ = calc.RMS(x.cycle) // the durations are positive
		case x.every > 0:
			l.baseA = min(base, x.amperes)
			rms, _ := calc.RepeatedRMS(x.amperes, x.seconds, l.baseA, x.every) // the declared times are positive
			l.effective = rms.Value
		default:
			continue // short and rare: a matter for fuse-opens-in-use
		}
		// Of the steps of one cycle the greatest stands for it.
		alike := x.declared && worst.declared && l.effective == worst.effective && l.limitA == worst.limitA
		if worst.limitA == 0 || l.effective*worst.limitA > worst.effective*l.limitA*(1+1e-6) || alike && x.amperes > worst.amperes {
			worst = l
		}
	}
	if worst.limitA == 0 && len(list) > 0 {
		worst.air = list[0].air
	}
	return worst, doubtful
}

// explainOut adds how the effective current comes about.
func (l continuousUse) explainOut(w *rules.Working, f *schema.Fuse) {
	if l.what == "" {
		w.Solved("I", "continuous current of "+f.ID, 0, "A", "it carries no continuous current in any mode")
		return
	}
	if l.declared && !l.continuous() {
		l.explainCycle(w)
		return
	}
	l.steps(w)
	if l.continuous() {
		return
	}
	w.Given("T", "period", l.every, "s", "modes."+l.mode+".every_s")
	w.Solved("I_0", "current in between: the greatest continuous current of any mode", l.baseA, "A", "the modes without lasts_s")
	// The declared times are positive.
	rms, _ := calc.RepeatedRMS(l.amperes, l.seconds, l.baseA, l.every)
	w.Line("I_rms", "root mean square over the cycle", rms)
}

// explainCycle adds the root mean square over the declared cycle.
func (l continuousUse) explainCycle(w *rules.Working) {
	for i, step := range l.cycle {
		k := strconv.Itoa(i + 1)
		w.Solved("I_"+k, "current in step "+k+" of the cycle", step.CurrentA, "A", "the greatest over the states of the supply")
		w.Given("t_"+k, "duration of that step", step.S, "s", demand.StepPath(i))
	}
	if rms, err := calc.RMSLine(l.cycle, true); err == nil {
		w.Line("I_rms", "root mean square over the cycle", rms)
	}
}

func (l continuousUse) describe() string {
	switch {
	case l.declared && !l.continuous():
		return "rms over the cycle"
	case l.what == "":
		return "continuous in any mode"
	case l.continuous() && !math.IsInf(l.seconds, 1):
		return l.what + " for " + seconds(l.seconds)
	case l.continuous():
		return l.what
	}
	return fmt.Sprintf("rms over the cycle of mode %s (%s A for %s of %s)", l.mode, rules.Figure(l.amperes), seconds(l.seconds), seconds(l.every))
}
