package battery

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func cutoffRegenerationHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "cutoff-regeneration-high",
		Family: family,
		Title:  "when something opens during regeneration, the voltage exceeds the rating of a part that stays connected",
		Why: "The key is turned off, the emergency stop hit or a fuse opens while the motor brakes, or a full or cold pack cuts itself off. The braking current " +
			"then charges nothing but the capacitors behind the opening: within a millisecond the voltage is at the level at which the controller itself " +
			"stops, long before any contact has cleared its arc, and controller, converter, meter and everything else on that side are exposed to it.",
		Relation: "max(overvoltage_V, V_full) + I_regen / C * overvoltage_reaction_us <= max_V of the controllers, converter inputs, loads and meters that stay connected to it, " +
			"for every contact, switch pole and fuse that carries the regeneration and for the pack's own cut-off. Where overvoltage_V is not stated the controller is taken to feed back up to its own max_V",
		Source:   "circuit theory; C is that of the controllers and converter inputs left, what else they draw is left out, which errs on the safe side",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.cutoff-regeneration-high"},
		Vital:    []string{"batteries.cutoff", "controllers.capacitance_uF"},
		Fix:      "set the controller's regeneration to end below the rating of the weakest part, use a part with a higher rating, or feed it from the battery side of what opens",
		Example: rules.Example{Vehicle: "mole", Subject: "drive", Edits: []rules.Edit{
			{Path: "converters.converter.input.max_V", Value: "64"}}},
		Check: checkCutoffRegeneration,
	}
}

func checkCutoffRegeneration(p *rules.Pass) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if k.Spare || !p.Circuit.Connected(id+".pos") {
			continue
		}
		if a, _ := capacity.Regeneration(p.Spec, k); a == 0 {
			continue
		}
		c := p.Subject(id, k.Path())
		if !p.Unsound(c, id+".pos", id+".neg") {
			checkExposed(c, p, k)
		}
	}
}

// exposed is the weakest part that stays connected to a controller when something
// opens.
type exposed struct {
	id, path string
	v        float64 // its rated voltage
	reachesV float64 // as far as it is known
	mode     string
	opening  circuit.Opening
	at       *circuit.Solution
}

func checkExposed(c *rules.Check, p *rules.Pass, k *schema.Controller) {
	worst, uncertain, failed := weakestBeside(p, k)
	switch {
	case failed != nil:
		c.Unsettled(failed, failed.Alternating()...)
		return
	case worst.id == "" && uncertain.id == "":
		c.Holds(true, "nothing that opens cuts %s off from a battery", k.ID)
		return
	case worst.id == "", worst.passes(p) && uncertain.id != "" && !uncertain.passes(p):
		c.NotChecked(uncertainCutoff(p, k), "%s: %s is rated %s V; whether the pack has a cut-off that opens while %[1]s feeds back is not stated",
			k.ID, uncertain.id, rules.Figure(uncertain.v))
		return
	}
	worst.report(c, p, k)
}

// limitV is the voltage that a controller is known to reach at least when nothing takes
// what it feeds back.
func limitV(k *schema.Controller) float64 { return k.OvervoltageV.Or(k.MaxV) }

// passes reports whether the part withstands what the controller is known to reach.
func (x exposed) passes(p *rules.Pass) bool { return x.reachesV*p.Required() <= x.v }

// surgeV is the voltage in V that a controller reaches after an opening, as far as that
// is known.
func surgeV(p *rules.Pass, k *schema.Controller, o circuit.Opening, s *circuit.Solution) float64 {
	x, c, e := exposed{opening: o, at: s}, p.Subject(k.ID, k.Path()), p.Circuit.Edge(k.ID)
	uF, missing := x.capacitance(c, p, k)
	rate, err := calc.SurgeRate(x.fedBack(c, p), uF)
	if missing != "" || err != nil || !k.OvervoltageV.Known {
		return limitV(k)
	}
	return calc.SurgePeak(rate, max(limitV(k), s.V(e.From)-s.V(e.To)), k.OvervoltageUs.Or(0)).Value
}

// fedBack is what all controllers that stay connected may feed back at once, in A.
func (x exposed) fedBack(c *rules.Check, p *rules.Pass) (a float64) {
	var terms []string
	for _, e := range x.opening.Beside {
		if e.Kind != circuit.ControllerEdge {
			continue
		}
		if own, path := capacity.Regeneration(p.Spec, p.Spec.Controllers[e.Part]); own > 0 {
			terms = append(terms, rules.Term(c.Given("I_"+e.Part, "highest current fed back by "+e.Part, own, "A", path)))
			a += own
		}
	}
	if len(terms) > 1 {
		c.Calc("I_regen", "all of them at once", "sum", strings.Join(terms, " + "), a, "A")
	}
	return a
}

// capacitance is what the current charges, in uF; missing is the path of that of the
// controller itself, where it is not given.
func (x exposed) capacitance(c *rules.Check, p *rules.Pass, k *schema.Controller) (uF float64, missing string) {
	if !k.CapacitanceUF.Known {
		return 0, k.Path() + ".capacitance_uF"
	}
	var terms []string
	add := func(id string, n schema.Number, path string) {
		if n.Known {
			terms = append(terms, rules.Term(c.Given("C_"+id, "capacitance of "+id, n.Value, "uF", path)))
			uF += n.Value
		}
	}
	for _, e := range x.opening.Beside {
		switch part := p.Spec.Part(e.Part).(type) {
		case *schema.Controller:
			if e.Kind == circuit.ControllerEdge {
				add(e.Part, part.CapacitanceUF, part.Path()+".capacitance_uF")
			}
		case *schema.Converter:
			if e.Kind == circuit.ConverterInput {
				add(e.Part, part.Input.CapacitanceUF, part.Path()+".input.capacitance_uF")
			}
		}
	}
	if len(terms) > 1 {
		c.Calc("C", "capacitance left", "sum", strings.Join(terms, " + "), uF, "uF")
	}
	return uF, ""
}

// report holds the voltage that the controller reaches against the rating.
func (x exposed) report(c *rules.Check, p *rules.Pass, k *schema.Controller) {
	c.In(x.mode, x.at.Case.String())
	i := x.fedBack(c, p)
	uF, missing := x.capacitance(c, p, k)
	v0 := c.Solved("V_0", "voltage at "+k.ID+" before", x.at.V(p.Circuit.Edge(k.ID).From)-x.at.V(p.Circuit.Edge(k.ID).To), "V", x.at.Case.String())
	rises := ""
	rate, err := calc.SurgeRate(i, uF)
	if missing == "" && err == nil {
		rises = ", at " + rules.Figure(c.Line("dV/dt", "rise of the voltage", rate)) + " V/ms"
		c.Line("t", "time until the rated voltage of "+x.id+" is reached; a contact takes 10 ms and more to clear its arc", calc.SurgeTime(rate, v0, x.v))
	}
	peak, ok := x.peak(c, k, v0, rate, missing)
	if !ok {
		return
	}
	what := "the pack cuts off"
	if x.opening.By != nil {
		what = x.opening.By.ID + " opens"
	}
	c.Given("V_max", "rated voltage of "+x.id, x.v, "V", x.path)
	c.Related(x.path, "the part that stays connected")
	c.Fix("%s", x.remedy(p, k, peak))
	c.AtMost(rules.Volts(peak), rules.Volts(x.v), "%s: feeds back up to %s V when %s in mode %s%s; %s is rated %s V",
		k.ID, rules.Figure(peak), what, x.mode, rises, x.id, rules.Figure(x.v))
}

// peak is the voltage in V that is reached. Where that is not known and what is known
// does not decide, it reports the check as not made and is not ok.
func (x exposed) peak(c *rules.Check, k *schema.Controller, v0 float64, rate calc.Line, missing string) (v float64, ok bool) {
	switch {
	case !k.OvervoltageV.Known && x.v < k.MaxV:
		return c.Given("V_off", "voltage up to which "+k.ID+" may feed back, which states no lower one", k.MaxV, "V", k.Path()+".max_V"), true
	case !k.OvervoltageV.Known:
		missing = k.Path() + ".overvoltage_V"
	case x.v < k.OvervoltageV.Value:
		return c.Given("V_off", "voltage up to which "+k.ID+" feeds back", k.OvervoltageV.Value, "V", k.Path()+".overvoltage_V"), true
	case !k.OvervoltageUs.Known:
		missing = k.Path() + ".overvoltage_reaction_us"
	}
	if missing != "" {
		c.NotChecked(missing, "%s: how far its voltage rises when nothing takes what it feeds back is not known; it withstands %s V", k.ID, rules.Figure(k.MaxV))
		return 0, false
	}
	off := c.Given("V_off", "voltage above which "+k.ID+" stops feeding back", k.OvervoltageV.Value, "V", k.Path()+".overvoltage_V")
	us := c.Given("t_off", "time until it has", k.OvervoltageUs.Value, "us", k.Path()+".overvoltage_reaction_us")
	return c.Line("V_pk", "voltage reached", calc.SurgePeak(rate, max(off, v0), us)), true
}

// remedy says what to do about it.
func (x exposed) remedy(p *rules.Pass, k *schema.Controller, peak float64) string {
	text := "use a " + x.id + " rated for at least " + rules.Figure(rules.RoundUp(peak*p.Required(), 0.1)) + " V"
	full := 0.0
	for _, s := range p.Circuit.StringsFeeding(k.ID) {
		full = max(full, s.V(p.Spec, circuit.Highest))
	}
	if end := rules.RoundDown(x.v/p.Required()-max(0, peak-limitV(k)), 0.1); end > full {
		return "set the regeneration of " + k.ID + " to end at " + rules.Figure(end) + " V or below (overvoltage_V), or " + text
	}
	return text + ", or feed it from the battery side of what opens"
}

// weakestBeside finds, over the modes in which a controller may regenerate and over all
// that may open, the part that stays connected to it with the lowest rated voltage;
// uncertain is that which only a cut-off of the pack leaves, where it states none.
func weakestBeside(p *rules.Pass, k *schema.Controller) (worst, uncertain exposed, failed *circuit.Solution) {
	for _, at := range demand.Regenerating(p.Spec, k) {
		s := p.Circuit.Solve(at)
		if s.Failed != "" {
			return exposed{}, exposed{}, s
		}
		x, u := weakestOn(p, k, s.Held(true))
		if len(s.Alternating()) > 0 {
			if y, v := weakestOn(p, k, s.Held(false)); x.id != y.id || u.id != v.id {
				return exposed{}, exposed{}, s
			}
		}
		worst, uncertain = worst.orWeaker(x), uncertain.orWeaker(u)
	}
	return worst, uncertain, nil
}

func (x exposed) orWeaker(y exposed) exposed {
	if y.id != "" && (x.id == "" || y.v*x.reachesV < x.v*y.reachesV) {
		return y
	}
	return x
}

// weakestOn is the part with the lowest rated voltage that stays connected to a
// controller when something opens in a state.
func weakestOn(p *rules.Pass, k *schema.Controller, s *circuit.Solution) (worst, uncertain exposed) {
	for _, o := range s.Openings(p.Circuit.Edge(k.ID)) {
		var weakest exposed
		reaches := surgeV(p, k, o, s)
		for _, e := range o.Beside {
			if v, path := capacity.WithstandV(p.Spec, e); v > 0 {
				weakest = weakest.orWeaker(exposed{id: e.Part, path: path, v: v, reachesV: reaches, mode: s.Case.Mode, opening: o, at: s})
			}
		}
		switch {
		case o.By != nil || cuttingOff(p, k):
			worst = worst.orWeaker(weakest)
		case uncertainCutoff(p, k) != "":
			uncertain = uncertain.orWeaker(weakest)
		}
	}
	return worst, uncertain
}

// cuttingOff reports whether a battery of the controller declares a cut-off.
func cuttingOff(p *rules.Pass, k *schema.Controller) bool {
	return slices.ContainsFunc(p.Circuit.StringsFeeding(k.ID), func(s circuit.SeriesString) bool {
		return slices.ContainsFunc(s, func(b circuit.Source) bool { return p.Spec.Batteries[b.ID].Cutoff != nil })
	})
}

// uncertainCutoff is the path of the cut-off that a battery of the controller
// does not state, though batteries of its kind mostly have one; lead-acid
// batteries have none.
func uncertainCutoff(p *rules.Pass, k *schema.Controller) string {
	for _, s := range p.Circuit.StringsFeeding(k.ID) {
		for _, b := range s {
			if p.Spec.Batteries[b.ID].Chemistry != "lead-acid" {
				return b.Path + ".cutoff"
			}
		}
	}
	return ""
}
