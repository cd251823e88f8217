package precharge

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
)

func plugInrushHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "plug-inrush-high",
		Family: family,
		Title:  "a battery's plug itself closes on empty capacitors",
		Why: "Where nothing but a plug is between the pack and a controller, the hand that plugs it in closes the circuit. The pins meet on a thousand amperes " +
			"while they slide: they burn a little each time, until they stick or run hot, and the spark is in front of the face.",
		Relation: "sum of 1/2 C V_max^2, over the controllers and converters that a plugged battery reaches without a contact between, <= policy.mating_spark_J; " +
			"one that limits its own inrush (internal_precharge) does not count",
		Source:   "circuit theory (energy of a capacitor; step into a series RLC circuit); 0.1 J, which plain pins bear without pitting, is common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.mating_spark_J"},
		Vital:    []string{"controllers.capacitance_uF", "converters.input.capacitance_uF"},
		Fix:      "put an open disconnect or contactor, with a pre-charge, between the plug and the capacitors, so that the plug is pushed together without current",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.pluggable", Value: "true"},
			{Path: "wires.w_fuse_isolator.to", Value: `"drive.pos"`}}},
		Check: checkPlugs,
	}
}

func checkPlugs(p *rules.Pass) {
	for _, s := range p.Circuit.Strings() {
		if s[0].Role != "traction" {
			continue
		}
		reached, plugged := plugReaches(p, s)
		if !plugged {
			continue
		}
		c := p.Subject(s[0].ID, s[0].Path)
		if p.Unsound(c, s[0].ID+".neg", s[len(s)-1].ID+".pos") {
			continue
		}
		if len(reached) == 0 {
			c.Holds(true, "%s is plugged in behind an open contact, or on no capacitors", s.Name())
			continue
		}
		evalPlug(c, p, s, reached)
	}
}

// plugReaches lists the controllers and converters that a string reaches over metal
// without a contact, of those that are behind a plug: the string's own, or theirs. Plugged
// tells whether there is a plug at all.
func plugReaches(p *rules.Pass, s circuit.SeriesString) (reached []*circuit.Edge, plugged bool) {
	own := slices.ContainsFunc(s, func(b circuit.Source) bool { return p.Spec.Batteries[b.ID].Pluggable })
	bare := func(e *circuit.Edge) bool { return e.Kind != circuit.ContactEdge && e.Kind != circuit.SwitchEdge }
	for _, e := range p.Circuit.Edges {
		if e.Kind != circuit.ControllerEdge && e.Kind != circuit.ConverterInput {
			continue
		}
		base := p.Spec.Part(e.Part).Common()
		if base.Spare || !own && !base.Pluggable {
			continue
		}
		plugged = true
		loop, ok := p.Circuit.LoopTo(e, bare)
		if ok && !charging.LimitsItself(p, e) && slices.ContainsFunc(loop.Strings, func(x circuit.SeriesString) bool { return x[0].ID == s[0].ID }) {
			reached = append(reached, e)
		}
	}
	return reached, plugged || own
}

func evalPlug(c *rules.Check, p *rules.Pass, s circuit.SeriesString, reached []*circuit.Edge) {
	var farad float64
	var names []string
	for _, e := range reached {
		uF, path := charging.Capacitance(p, e)
		if !uF.Known {
			c.NotChecked(path, "%s: its plug closes on the capacitors of %s, whose capacitance is not given", s.Name(), e.Part)
			return
		}
		farad += c.Given("C", "capacitance of "+e.Part, uF.Value, "uF", path) / 1e6
		names = append(names, e.Part)
		c.Related(p.Spec.Part(e.Part).Common().Path(), "nothing but the plug is before it")
	}
	if len(reached) > 1 {
		c.Solved("C", "capacitance of all of them", 1e6*farad, "uF", "sum")
	}
	volt := c.Solved("V", "full battery", s.V(p.Spec, circuit.Highest), "V", "pack full")
	joule := c.Calc("E", "energy that is charged through the pins", "1/2 C V^2", "0.5 * "+rules.Term(1e6*farad)+"e-6 * "+rules.Term(volt)+"^2", calc.CapacitorEnergyJ(farad, volt), "J")
	limit := c.Default("E_max", "energy of a spark that leaves no mark", p.Spec.Policy.MatingSparkJ, "J", "policy.mating_spark_J")
	c.AtMost(joules(joule), joules(limit), "%s: its plug closes on the empty capacitors of %s%s: %s J, pins bear %s J", s.Name(), rules.And(names), firstPeak(p, s, reached),
		rules.Figure(joule), rules.Figure(limit))
}

// firstPeak says what current the plug closes on, as a part of a sentence; "" where that
// is not known.
func firstPeak(p *rules.Pass, s circuit.SeriesString, reached []*circuit.Edge) string {
	var sum float64
	for _, e := range reached {
		loop, _ := p.Circuit.LoopTo(e, nil)
		a, err := charging.Onto(p, loop, e).PeakA(p, p.Subject(s[0].ID, s[0].Path).Working)
		if err != nil {
			return ""
		}
		sum = max(sum, a)
	}
	return " with a first peak of " + rules.Figure(sum) + " A"
}
