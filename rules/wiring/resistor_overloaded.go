package wiring

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
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
			"Of a dropper before a LED or an electronic load also (V_max - V_l)^2 / R in continuous modes: V_l is at_V for a LED, which holds its forward voltage, or min_V " +
			"where the resistor cannot bring the load's power up there, so that it never gets beyond. Pre-charge resistors are judged by their pulse: precharge-pulse-high",
		Source:   "circuit theory (a constant power behind a resistance has two states, and comes to the lower one first); thermal replica of IEC 60255-149, the time constant from memory",
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
	if h := worstHeld(p, r, uses); h.w > w {
		c.In(h.mode, "load at its lowest voltage")
		where = "in mode " + h.mode + " with " + h.load.ID + " at " + rules.Figure(h.v) + " V"
		c.Related(h.load.Path(), "in series with it")
		source := c.Solved("V_s", "voltage across both", h.sourceV, "V", "mode "+h.mode+", pack full")
		low := c.Given("V_l", h.why, h.v, "V", h.path)
		w = c.Calc("P", "power in "+r.ID, "(V_s - V_l)^2 / R", "("+rules.Term(source)+" - "+rules.Term(low)+")^2 / "+rules.Term(ohm), h.w, "W")
	}
	limit := c.Given("P_n", "continuous power rating of "+r.ID, r.PowerW.Value, "W", r.Path()+".power_W")
	c.Fix("use a resistor of %s Ohm with power_W of at least %s as mounted", rules.Figure(ohm), rules.Figure(rules.RoundUp(p.Required()*w, 0.5)))
	c.AtMost(rules.Quantity{Value: w, Unit: "W"}, rules.Quantity{Value: limit, Unit: "W"}, "%s: %s W %s, rated %s W", r.ID, rules.Figure(w), where, rules.Figure(limit))
}

// held is a load that takes less voltage of a resistor in series with it than the
// solution of the circuit says.
type held struct {
	load    *schema.Load
	mode    string
	sourceV float64 // across both, V
	v       float64 // across the load then, V
	why     string
	path    string  // of v
	w       float64 // in the resistor then, W
}

// worstHeld finds the load in series with a resistor with which that has most to do in a
// continuous mode. The zero value stands for none.
func worstHeld(p *rules.Pass, r *schema.Resistor, uses []demand.Use) (worst held) {
	for _, u := range uses {
		if u.Mode == nil || u.A < demand.LeastA || !demand.Continuous(p.Spec, u.Mode) {
			continue
		}
		s := p.Circuit.Solve(demand.Full(u.Mode.ID))
		if s.Failed != "" {
			continue
		}
		for id, l := range schema.Sorted(p.Spec.Loads) {
			e := p.Circuit.Edge(id)
			if l.LoadKind != "led" && l.LoadKind != "electronic" || l.Spare || !inSeries(p, s, p.Circuit.Edge(r.ID), e) {
				continue
			}
			h := held{load: l, mode: u.Mode.ID, sourceV: math.Abs(s.Current(r.ID))*r.ResistanceOhm + math.Abs(s.V(e.From)-s.V(e.To))}
			if h.hold(r); h.w > worst.w {
				worst = h
			}
		}
	}
	return worst
}

// hold finds the voltage at which the load is held.
func (h *held) hold(r *schema.Resistor) {
	l := h.load
	at := func(v float64, why, field string) {
		if w := (h.sourceV - v) * (h.sourceV - v) / r.ResistanceOhm; v < h.sourceV && w > h.w {
			h.v, h.why, h.path, h.w = v, why, l.Path()+field, w
		}
	}
	if l.LoadKind == "led" {
		at(l.AtV, "forward voltage of "+l.ID, ".at_V")
	}
	if v := l.MinV; v.Known && v.Value < h.sourceV && v.Value*(h.sourceV-v.Value)/r.ResistanceOhm < l.PowerW {
		at(v.Value, "voltage at which "+l.ID+" begins to work, beyond which the resistor cannot feed it", ".min_V")
	}
}

// inSeries reports whether one current flows through a resistor and a load that a
// conductor joins.
func inSeries(p *rules.Pass, s *circuit.Solution, r, load *circuit.Edge) bool {
	touch := false
	for _, a := range []circuit.Node{r.From, r.To} {
		touch = touch || p.Circuit.Joined(a, load.From) || p.Circuit.Joined(a, load.To)
	}
	i, j := math.Abs(s.Current(r.ID)), math.Abs(s.Current(load.ID))
	return touch && j > 0 && math.Abs(i-j) <= 0.01*j
}
