package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func resistorOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "resistor-overloaded",
		Family: family,
		Title:  "a resistor turns more power into heat than it is rated for",
		Why: "A bleed or dropping resistor gets hot by its work. Above its power the winding glows until it opens, unnoticed: a bleed resistor that has opened " +
			"leaves the capacitors charged, and until then it is a source of ignition beside the wires.",
		Relation: "I^2 R <= power_W; I is the current of every continuous mode, and the equivalent continuous current over the cycle at its hottest (tau 60 s). " +
			"Pre-charge resistors are judged by their pulse: precharge-pulse-high",
		Source:   "circuit theory; thermal replica of IEC 60255-149, the time constant from memory",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"resistors.power_W"},
		Fix:      "use a resistor of the same resistance and a higher continuous power as mounted",
		Example: rules.Example{Vehicle: "heron", Subject: "bleed", Edits: []rules.Edit{
			{Path: "resistors.bleed", Value: `{"role": "bleed", "resistance_Ohm": 1000, "power_W": 5, "max_V": 500, "source": "sheet RE-5"}`},
			{Path: "wires.w_bleed_pos", Value: `{"from": "bleed.a", "to": "drive.pos", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_bleed_neg", Value: `{"from": "bleed.b", "to": "drive.neg", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkResistors,
	}
}

// resistorTauS is the time constant of the heating of a power resistor in s: one to
// several minutes (from memory); the shorter one heats sooner.
const resistorTauS = 60

func checkResistors(p *rules.Pass) {
	for id, r := range schema.Sorted(p.Spec.Resistors) {
		if r.Spare || r.Role == "precharge" || !p.Circuit.Connected(id+".a") || !p.Circuit.Connected(id+".b") {
			continue
		}
		c := p.Subject(id, r.Path())
		if e := (demand.Element{p.Circuit.Edge(id)}); !e.Unsound(p, c) {
			evalResistor(c, p, r, e)
		}
	}
}

func evalResistor(c *rules.Check, p *rules.Pass, r *schema.Resistor, e demand.Element) {
	uses, ok := demand.For(p).Known(c, r.ID, e)
	if !ok {
		return
	}
	duty, ok := demand.Hottest(p.Spec, uses, resistorTauS)
	switch {
	case !ok:
		c.NotChecked("modes", "no mode says what flows through %s", r.ID)
		return
	case duty.EqA < demand.LeastA && duty.Steps == nil:
		c.Holds(true, "%s carries no current in any mode", r.ID)
		return
	case !r.PowerW.Known:
		c.NotChecked(r.Path()+".power_W", "%s: its continuous power is not declared", r.ID)
		return
	}
	where := "over the cycle"
	if duty.Mode != nil {
		c.In(duty.Mode.ID, duty.At.String())
		where = "in mode " + duty.Mode.ID
	}
	duty.Explain(c.Working, r.ID, resistorTauS, "from memory")
	ohm := c.Given("R", "resistance of "+r.ID, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	w := c.Calc("P", "power in "+r.ID, "I^2 R", rules.Term(duty.EqA)+"^2 * "+rules.Term(ohm), duty.EqA*duty.EqA*ohm, "W")
	limit := c.Given("P_n", "continuous power rating of "+r.ID, r.PowerW.Value, "W", r.Path()+".power_W")
	c.Fix("use a resistor of %s Ohm with power_W of at least %s as mounted", rules.Figure(ohm), rules.Figure(rules.RoundUp(p.Required()*w, 0.5)))
	c.AtMost(rules.Quantity{Value: w, Unit: "W"}, rules.Quantity{Value: limit, Unit: "W"}, "%s: %s W %s, rated %s W", r.ID, rules.Figure(w), where, rules.Figure(limit))
}
