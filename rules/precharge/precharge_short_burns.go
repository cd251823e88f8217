package precharge

import (
	"fmt"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func prechargeShortBurns() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-short-burns",
		Family: family,
		Title:  "a shorted controller burns the pre-charge resistor",
		Why: "When the controller has failed short-circuited, the whole battery voltage is across the resistor until the contactor closes and the main fuse opens, " +
			"or continuously if it is permanently connected. It glows beside the battery cables before anybody knows that something is wrong.",
		Relation: "P = V^2 / R on a shorted output <= power_W, or the contactor closes (and the main fuse opens) before the heat has reached pulse_J: " +
			"P tau (1 - exp(-t / tau)) <= pulse_J with tau = pulse_J / power_W; continuously where the resistor is permanent or the contactor waits for a voltage",
		Source:   "circuit theory; thermal replica of first order (the form of IEC 60255-149); that a pre-charge must survive a short is common practice",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"resistors.power_W", "resistors.pulse_J"},
		Fix:      "use a resistor with a higher power rating, or more Ohm where the capacitors are still charged in time",
		Example: rules.Example{Vehicle: "mole", Subject: "soft", Edits: []rules.Edit{
			{Path: "resistors.soft.power_W", Value: "5"}}},
		Check: checkShort,
	}
}

func checkShort(p *rules.Pass) {
	for _, s := range resistors(p) {
		c, ok := onResistor(p, s)
		if !ok || !need(c, s.PowerW, s.Resistor.Path()+".power_W", "%s: continuous power rating is not given", s.Resistor.ID) {
			continue
		}
		if v, ok := full(c, p, s.Attempt); ok {
			evalShort(c, p, s, v)
		}
	}
}

func evalShort(c *rules.Check, p *rules.Pass, s served, v float64) {
	r := s.Resistor
	own := c.Given("R", "resistance of "+r.ID, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	all, formula, numbers := own, "V_w^2 / R", rules.Term(v)+"^2 / "+rules.Term(own)
	if len(s.Resistors) > 1 {
		all = c.Calc("R_all", "resistors in series", "sum", "", s.Charge(v).SeriesOhm, "Ohm")
		formula, numbers = "V_w^2 R / R_all^2", fmt.Sprintf("%s^2 * %s / %s^2", rules.Term(v), rules.Term(own), rules.Term(all))
	}
	power := c.Calc("P", "power in it with the controller shorted", formula, numbers, v*v*own/(all*all), "W")
	rated := s.PowerW.Value
	continuous := s.alwaysFed(p) || !s.Delay().Known
	s.fixShort(c, p, v, power, continuous)
	if continuous || power <= rated {
		limit := c.Given("P_n", "continuous power rating", rated, "W", r.Path()+".power_W")
		c.AtMost(watts(power), watts(limit), "%s: %s W with the controller shorted, rated %s W continuous%s", r.ID, rules.Figure(power), rules.Figure(limit), s.howLong(p))
		return
	}
	if !need(c, r.PulseJ, r.Path()+".pulse_J", "%s: %s W with the controller shorted, rated %s W continuous; how long it withstands that depends on its pulse energy rating", r.ID, rules.Figure(power), rules.Figure(rated)) {
		return
	}
	limit, _, tau := explainReplica(c, s)
	t := s.ExplainLongest(p, c.Working) // until the contactor closes and the main fuse opens
	heat := c.Line("W", "heat in it by then", calc.PulseHeat(power, tau, t))
	c.AtMost(joules(heat), joules(limit), "%s: %s J from %s W for %s s with the controller shorted, pulse rating %s J", r.ID, rules.Figure(heat), rules.Figure(power), rules.Figure(t), rules.Figure(limit))
}

// fixShort says what the resistor has to be rated for to withstand a power in W at V_w,
// in V, with the controller shorted.
func (s served) fixShort(c *rules.Check, p *rules.Pass, v, power float64, continuous bool) {
	need := p.Required() * power
	if need <= s.PowerW.Value {
		return
	}
	watts := rules.Figure(rules.RoundUp(need, charging.Step(need)))
	rated, id := s.PowerW.Value, s.Resistor.ID
	switch {
	case !continuous && s.PulseJ.Known:
		pulse := charging.ShortPulseJ(need, rated, s.LongestS(p))
		if joule, trouble := s.ExplainHeat(p, p.Subject(id, s.Resistor.Path()).Working, id, v); trouble == nil {
			pulse = max(pulse, charging.PulseFor(p, joule, rated))
		}
		c.Fix("use a resistor for %s rated at least %s W continuous, or one of %s W with pulse_J of at least %s", id, watts, rules.Figure(rated), rules.Figure(rules.RoundUp(pulse, charging.Step(pulse))))
	case len(s.Resistors) == 1 && s.Suits(p, s.ResistanceOhm*need/rated, v):
		ohm := s.ResistanceOhm * need / rated
		c.Fix("use a resistor for %s rated at least %s W continuous, or raise its resistance_Ohm to %s", id, watts, rules.Figure(rules.RoundUp(ohm, charging.Step(ohm))))
	default:
		c.Fix("use a resistor for %s rated at least %s W continuous", id, watts)
	}
}

// alwaysFed reports whether the resistor is fed for as long as the disconnect is
// closed, as it is declared to be or because nothing that the key or a coil
// opens is between it, the battery and the capacitors.
func (s served) alwaysFed(p *rules.Pass) bool {
	if s.Permanent {
		return true
	}
	conducts := func(e *circuit.Edge, _ circuit.Node) bool {
		_, disconnect := p.Spec.Part(e.Part).(*schema.Disconnect)
		return e.Conducts() && e.Kind != circuit.ContactEdge && (e.Kind != circuit.SwitchEdge || disconnect)
	}
	own := p.Circuit.Edge(s.ID)
	connected := func(from circuit.Node, to []circuit.Node) bool {
		return slices.ContainsFunc(to, func(v circuit.Node) bool { return p.Circuit.Reaches(from, v, conducts) })
	}
	var poles, capacitors []circuit.Node
	for _, source := range p.Circuit.Sources() {
		if source.IsBattery() {
			poles = append(poles, source.Pos, source.Neg)
		}
	}
	for _, e := range s.Capacitors {
		capacitors = append(capacitors, e.From, e.To)
	}
	return connected(own.From, poles) && connected(own.To, capacitors) || connected(own.To, poles) && connected(own.From, capacitors)
}

// howLong says how long a short on the output heats the resistor.
func (s served) howLong(p *rules.Pass) string {
	switch {
	case s.Resistor.Permanent:
		return "; it is permanently connected"
	case s.alwaysFed(p):
		return "; no contact but the disconnect's opens its circuit"
	case s.Awaits():
		return "; " + s.Contactor.ID + " waits for a voltage that never comes"
	case !s.Delay().Known:
		return "; it is fed for as long as the key is on"
	}
	return ""
}
