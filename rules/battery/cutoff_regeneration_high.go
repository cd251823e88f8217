package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func cutoffRegenerationHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "cutoff-regeneration-high",
		Family: family,
		Title:  "when the pack cuts off during regeneration, the voltage exceeds the rating of a part that stays connected",
		Why: "A pack that is full, cold or at its charging limit opens while the motor brakes. The braking current then charges nothing but the " +
			"controller's capacitors: within milliseconds the voltage reaches the level at which the controller itself stops, and converter, " +
			"meter and everything else on that side are exposed to it.",
		Relation: "max_V of the controller, up to which it feeds back, <= max_V of the converter inputs, loads and meters that stay connected " +
			"to it in a mode that regenerates",
		Source:   "common practice: a controller stops regeneration at its own highest voltage",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.cutoff-regeneration-high"},
		Vital:    []string{"batteries.cutoff"},
		Fix:      "set the controller's regeneration to end below the rating of the weakest part, use a part with a higher rating, or feed it from the battery side of the main contactor and open the contactor first",
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

// exposed is a part that stays connected to a controller, and its rated voltage.
type exposed struct {
	id, path string
	v        float64
	mode     string
	at       circuit.Case
}

func checkExposed(c *rules.Check, p *rules.Pass, k *schema.Controller) {
	weakest, failed := weakestBeside(p, k)
	if failed != nil {
		c.Unsettled(failed, failed.Alternating()...)
		return
	}
	if weakest.id == "" {
		c.Holds(true, "nothing with a voltage rating stays connected to %s when it regenerates", k.ID)
		return
	}
	b := cuttingOff(p, k)
	if weakest.v < k.MaxV && b == "" {
		if missing := uncertainCutoff(p, k); missing != "" {
			c.NotChecked(missing, "%s: feeds back up to %s V once the pack has cut off, %s is rated %s V; whether the pack has a cut-off is not stated",
				k.ID, rules.Figure(k.MaxV), weakest.id, rules.Figure(weakest.v))
			return
		}
		c.Holds(true, "no battery of %s has a cut-off of its own", k.ID)
		return
	}
	c.In(weakest.mode, weakest.at.String())
	c.Given("V_off", "voltage up to which "+k.ID+" feeds back when no battery takes the current", k.MaxV, "V", k.Path()+".max_V")
	c.Given("V_max", "rated voltage of "+weakest.id, weakest.v, "V", weakest.path)
	c.Related(weakest.path, "the part that stays connected")
	if b == "" {
		b = "the pack"
	}
	c.Fix("set the regeneration of %s to end at %s V or below, replace %s by one rated for at least %s V, or feed it from the battery side of the main contactor and open the contactor first",
		k.ID, rules.Figure(rules.RoundDown(weakest.v/p.Required(), 0.1)), weakest.id, rules.Figure(rules.RoundUp(k.MaxV*p.Required(), 0.1)))
	c.AtMost(rules.Volts(k.MaxV), rules.Volts(weakest.v), "%s: feeds back up to %s V when %s cuts off in mode %s, %s is rated %s V",
		k.ID, rules.Figure(k.MaxV), b, weakest.mode, weakest.id, rules.Figure(weakest.v))
}

// cuttingOff names a battery of the controller that declares a cut-off, "" if
// none does.
func cuttingOff(p *rules.Pass, k *schema.Controller) string {
	for _, s := range p.Circuit.StringsFeeding(k.ID) {
		for _, b := range s {
			if p.Spec.Batteries[b.ID].Cutoff != nil {
				return b.ID
			}
		}
	}
	return ""
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

// weakestBeside finds, over the modes in which a controller regenerates, the
// part connected to it by closed metal that has the lowest rated voltage.
func weakestBeside(p *rules.Pass, k *schema.Controller) (weakest exposed, failed *circuit.Solution) {
	for id, m := range schema.Sorted(p.Spec.Modes) {
		if d := m.Draw[k.ID]; d == nil || !d.RegenA.Known {
			continue
		}
		at := demand.Full(id)
		s := p.Circuit.Solve(at)
		if s.Failed != "" {
			return exposed{}, s
		}
		x := weakestOn(p, p.Circuit.Edge(k.ID), s.Held(true))
		if len(s.Alternating()) > 0 && x.id != weakestOn(p, p.Circuit.Edge(k.ID), s.Held(false)).id {
			return exposed{}, s
		}
		if x.id != "" && (weakest.id == "" || x.v < weakest.v) {
			x.mode, x.at = id, at
			weakest = x
		}
	}
	return weakest, nil
}

// weakestOn is the part with the lowest rated voltage that closed metal connects to a
// controller.
func weakestOn(p *rules.Pass, k *circuit.Edge, s *circuit.Solution) (weakest exposed) {
	poles := p.Circuit.ReachPoles(func(bool) circuit.Passes { return s.ClosedMetal }, k.From, k.To)
	for _, x := range p.Circuit.Edges {
		if !poles.Span(x) {
			continue
		}
		if v, path := ratedV(p.Spec, x); v > 0 && (weakest.id == "" || v < weakest.v) {
			weakest = exposed{id: x.Part, path: path, v: v}
		}
	}
	return weakest
}

// ratedV is the highest voltage that an element withstands and the path of the value;
// 0 if it states none.
func ratedV(spec *schema.Spec, e *circuit.Edge) (v float64, path string) {
	switch e.Kind {
	case circuit.ConverterInput:
		k := spec.Converters[e.Part]
		return k.Input.MaxV, k.Path() + ".input.max_V"
	case circuit.LoadEdge:
		l := spec.Loads[e.Part]
		return l.MaxV.Or(0), l.Path() + ".max_V"
	case circuit.MeterEdge:
		m := spec.Meters[e.Part]
		if e.ID == e.Part+".supply" {
			return m.MaxV.Or(0), m.Path() + ".max_V"
		}
	}
	return 0, ""
}
