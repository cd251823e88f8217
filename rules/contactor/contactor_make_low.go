package contactor

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func contactorMakeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-make-low",
		Family: family,
		Title:  "a contact closes on more current than its making capacity",
		Why: "Empty capacitors are a short circuit for a millisecond. Contacts that bounce while they carry a thousand amperes weld: " +
			"the contactor closes once and never opens again.",
		Relation: "dV sqrt(C/L) exp(-a t_p), the first peak of a series circuit of resistance, inductance and capacitance, <= make_A; dV is V_max less the voltage of " +
			"the capacitors from the pre-charge when the contact closes, V_max without one; contacts bounce for longer than the pulse lasts, so that the peak counts; motors count with their stall current, filament lamps with ten times their running current",
		Source:   "circuit theory (step into a series RLC circuit); the battery at its lowest resistance, 1 uH per metre of a pair of cables, common practice; multiples for motors and lamps from relay application notes",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"contactors.contact.make_A", "relays.contact.make_A", "controllers.capacitance_uF",
			"converters.input.capacitance_uF", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "add a pre-charge, allow it more time before the contact closes, or use a contact with a higher making capacity",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "timers.soft_timer.set_s", Value: "0.3"}}},
		Check: checkMake,
	}
}

func checkMake(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			evalMake(c, p, d)
		}
	}
}

func evalMake(c *rules.Check, p *rules.Pass, d device) {
	k := charging.Of(p, d.contacts[0])
	k.Capacitors = slices.DeleteFunc(k.Capacitors, func(e *circuit.Edge) bool { return charging.LimitsItself(p, e) })
	if !d.contact.MakeA.Known {
		c.NotChecked(d.contactPath("make_A"), "%s: making capacity is not given; fill in make_A from its data sheet", d.id)
		return
	}
	if len(d.feeds(p)) == 0 {
		c.NotChecked("a mode that closes "+d.id, "%s: no mode closes it", d.id)
		return
	}
	inrush, ok := 0.0, true
	if len(k.Capacitors) > 0 {
		inrush, ok = d.capacitorInrush(c, p, k)
	}
	if !ok {
		return
	}
	loads, ok := d.loadInrush(c, p, k)
	if !ok {
		return
	}
	making := c.Given("I_m", "making capacity of the contact", d.contact.MakeA.Value, "A", d.contactPath("make_A"))
	rest := ""
	if p.Required()*(inrush+loads) > making {
		rest = d.fixMake(c, p, k, inrush, loads)
	}
	c.AtMost(rules.Amperes(inrush+loads), rules.Amperes(making), "%s: closes on %s A, making capacity %s A%s", d.id, rules.Figure(inrush+loads), rules.Figure(making), rest)
}

// capacitorInrush adds the first current into the capacitors to the working,
// and returns it; or it reports that this could not be found.
func (d device) capacitorInrush(c *rules.Check, p *rules.Pass, k charging.Closing) (a float64, ok bool) {
	if missing, known := p.Circuit.ResistanceKnown(k.Contact.From); !known {
		c.NotChecked(missing, "%s: the inrush into the capacitors behind it depends on the battery's resistance", d.id)
		return 0, false
	}
	v, found := d.fullV(p, c.Working)
	if !found {
		c.NotChecked("a source for the contact of "+d.id, "%s: no source feeds what it connects", d.id)
		return 0, false
	}
	if k.Resisted {
		return d.throughResistor(c, p, k, v)
	}
	event, ok := k.Event(p)
	if !ok {
		c.NotChecked("a source for the contact of "+d.id, "%s: no source feeds what it connects", d.id)
		return 0, false
	}
	if event.Missing != "" {
		c.NotChecked(event.Missing, "%s: closes on the capacitors of %s, whose capacitance is not given", d.id, event.What)
		return 0, false
	}
	left, ok := d.leftByPrecharge(c, p, k, v)
	if !ok {
		return 0, false
	}
	event.LeftV = schema.Some(left)
	return event.Inrush(c, p)
}

// throughResistor adds the first current into capacitors that are charged through a
// resistor, beside which nothing else of the loop counts.
func (d device) throughResistor(c *rules.Check, p *rules.Pass, k charging.Closing, v float64) (a float64, ok bool) {
	loop := k.LoopOhm(p, v)
	if math.IsInf(loop, 1) {
		c.NotChecked("a source for the contact of "+d.id, "%s: no source feeds what it connects", d.id)
		return 0, false
	}
	c.Solved("R_loop", "resistance of the loop through "+d.id, 1000*loop, "mOhm", "lowest battery resistance, conductors at the lowest ambient")
	current, err := calc.Inrush(v, 0, loop)
	if err != nil {
		c.NotChecked("a loop through "+d.id, "%s: the inrush cannot be computed: %v", d.id, err)
		return 0, false
	}
	return c.Line("I_0", "inrush current into the capacitors, through the resistor", current), true
}

// leftByPrecharge adds the voltage that is left across the contact when it
// closes to the working, and returns it; or it reports why it cannot be told.
func (d device) leftByPrecharge(c *rules.Check, p *rules.Pass, k charging.Closing, v float64) (left float64, ok bool) {
	a, precharged := charging.AttemptOf(p, k)
	if !precharged {
		for _, e := range k.Capacitors {
			if e.Kind == circuit.ControllerEdge && len(k.Resistors(p)) == 0 {
				c.Because("precharge-missing", e.Part)
				break
			}
		}
	}
	switch {
	case !precharged || a.Supplied():
	case a.Stalls(p):
		c.Because("precharge-stalls", d.id)
	default:
		c.Because("contactor-not-keyed", d.id) // it closes in a mode in which nothing charges
	}
	if !precharged || !a.Supplied() {
		return c.Calc("dV", "voltage across the contact, without a pre-charge", "V_w", rules.Figure(v), v, "V"), true
	}
	left, trouble := a.ExplainLeft(p, c.Working, v)
	if trouble != nil {
		if trouble.Never {
			c.Because("precharge-stalls", d.id)
		}
		trouble.Report(c)
		return 0, false
	}
	if a.Stalls(p) {
		c.Because("precharge-stalls", d.id)
	}
	switch f := a.Premise; {
	case !f.Made():
		c.Because("precharge-delay-unmade", d.id)
	case f.By == charging.Hand:
		delay, path := a.Contactor.Delay()
		c.AsDeclared(path, "a person waits "+rules.Figure(delay.Value)+" s before "+d.id+" closes")
	}
	return left, true
}

// loadInrush adds what the loads behind a contact draw at first to the working,
// in the mode in which that is most, and returns it.
func (d device) loadInrush(c *rules.Check, p *rules.Pass, k charging.Closing) (a float64, ok bool) {
	var worst []inrush
	for _, mode := range p.Circuit.States() {
		s := p.Circuit.Solve(demand.Full(mode))
		if c.Unsettled(s, demand.Element(d.contacts).IDs()...) {
			return 0, false
		}
		var list []inrush
		for _, e := range k.Loads {
			if i := math.Abs(s.Current(e.ID)); i > 0 {
				list = append(list, inrush{p.Spec.Loads[e.Part], mode, i})
			}
		}
		if sum(list) > sum(worst) {
			worst = list
		}
	}
	for _, l := range worst {
		l.step(c)
	}
	return sum(worst), true
}

// inrush is what a load draws at first, and continuously, in a mode.
type inrush struct {
	load    *schema.Load
	mode    string
	runsAtA float64
}

func (l inrush) a() float64 {
	if l.load.LoadKind == "motor" && l.load.StallA.Known {
		return l.load.StallA.Value
	}
	return calc.LoadKind(l.load.LoadKind).Inrush().Value * l.runsAtA
}

func (l inrush) step(c *rules.Check) {
	id := l.load.ID
	if l.load.LoadKind == "motor" && l.load.StallA.Known {
		c.Given("I_l", "stall current of "+id, l.load.StallA.Value, "A", l.load.Path()+".stall_A")
		return
	}
	i := c.Solved("I", "current of "+id, l.runsAtA, "A", "mode "+l.mode+", pack full")
	if m := calc.LoadKind(l.load.LoadKind).Inrush(); m.Value != 1 {
		k := c.Line("k", "inrush multiple of a "+map[string]string{"motor": "motor", "filament": "filament lamp"}[l.load.LoadKind], m)
		c.Calc("I_l", "inrush current of "+id, "k I", rules.Term(k)+" * "+rules.Term(i), l.a(), "A")
	}
}

func sum(list []inrush) (a float64) {
	for _, l := range list {
		a += l.a()
	}
	return a
}
