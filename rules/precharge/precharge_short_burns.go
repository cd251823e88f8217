package precharge

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func prechargeShortBurns() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-short-burns",
		Family: family,
		Title:  "a shorted controller burns the pre-charge resistor",
		Why: "When the controller has failed to a short, the resistor holds the whole battery voltage until the contactor closes and the main fuse opens, " +
			"or continuously if it is connected continuously. It glows beside the battery cables before anybody knows that something is wrong.",
		Relation: "P = V^2 / R on a shorted output <= power_W, or the contactor closes (and the main fuse opens) before the heat has come to pulse_J: " +
			"P tau (1 - exp(-t / tau)) <= pulse_J with tau = pulse_J / power_W; continuously where the resistor is permanent or the contactor waits for a voltage",
		Source:   "circuit theory; thermal replica of first order (the form of IEC 60255-149); that a pre-charge must survive a short is common practice",
		Level:    rules.Warning,
		Required: 1,
		Fix:      "take a resistor of more power or of more Ohm, or a relay that ends the pre-charge after a time",
		Example: rules.Example{Vehicle: "mole", Subject: "soft", Edits: []rules.Edit{
			{Path: "resistors.soft.power_W", Value: "5"}}},
		Check: checkShort,
	}
}

func checkShort(p *rules.Pass) {
	for _, s := range resistors(p) {
		c, ok := onResistor(p, s)
		if !ok || !need(c, s.PowerW, s.Resistor.Path()+".power_W", "%s states no continuous power", s.Resistor.ID) {
			continue
		}
		if v, ok := full(c, p, s.Attempt); ok {
			judgeShort(c, p, s, v)
		}
	}
}

func judgeShort(c *rules.Check, p *rules.Pass, s served, v float64) {
	r := s.Resistor
	own := c.Given("R", "resistance of "+r.ID, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	all, formula, numbers := own, "V_w^2 / R", rules.Term(v)+"^2 / "+rules.Term(own)
	if len(s.Resistors) > 1 {
		all = c.Calc("R_all", "resistors in series", "sum", "", s.Charge(v).SeriesOhm, "Ohm")
		formula, numbers = "V_w^2 R / R_all^2", fmt.Sprintf("%s^2 * %s / %s^2", rules.Term(v), rules.Term(own), rules.Term(all))
	}
	power := c.Calc("P", "heat in it on a shorted output", formula, numbers, v*v*own/(all*all), "W")
	rated := s.PowerW.Value
	lasting := s.alwaysFed(p) || !s.Delay().Known
	if lasting || power <= rated {
		limit := c.Given("P_n", "continuous power", rated, "W", r.Path()+".power_W")
		c.AtMost(watts(power), watts(limit), "on a shorted output %s takes %s W%s; it bears %s W", r.ID, rules.Figure(power), s.howLong(p), rules.Figure(limit))
		return
	}
	if !need(c, r.PulseJ, r.Path()+".pulse_J", "%s takes %s W on a shorted output, more than its %s W continuously; how long it bears that depends on its pulse energy", r.ID, rules.Figure(power), rules.Figure(rated)) {
		return
	}
	limit, _, tau := workReplica(c, s)
	t := c.Given("t", "until the contactor closes and the main fuse opens", s.Delay().Value, "s", s.Contactor.Path()+".closes_after_s")
	heat := c.Calc("W", "heat in it by then", "P tau_R (1 - exp(-t / tau_R))",
		fmt.Sprintf("%[1]s * %[2]s * (1 - exp(-%[3]s / %[2]s))", rules.Term(power), rules.Term(tau), rules.Term(t)), -power*tau*math.Expm1(-t/tau), "J")
	c.AtMost(joules(heat), joules(limit), "on a shorted output %s takes %s W for %s s, which leaves %s J in it; it bears %s J", r.ID, rules.Figure(power), rules.Figure(t), rules.Figure(heat), rules.Figure(limit))
}

// alwaysFed reports whether the resistor is fed for as long as the disconnect is
// closed, as it is declared to be or because nothing that the key or a coil
// opens lies between it, the battery and the capacitors.
func (s served) alwaysFed(p *rules.Pass) bool {
	if s.Permanent {
		return true
	}
	metal := func(e *circuit.Edge, _ circuit.Node) bool {
		_, disconnect := p.Spec.Part(e.Part).(*schema.Disconnect)
		return e.Conducts() && e.Kind != circuit.ContactEdge && (e.Kind != circuit.SwitchEdge || disconnect)
	}
	own := p.Circuit.Edge(s.ID)
	joined := func(from circuit.Node, to []circuit.Node) bool {
		return slices.ContainsFunc(to, func(v circuit.Node) bool { return p.Circuit.Reaches(from, v, metal) })
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
	return joined(own.From, poles) && joined(own.To, capacitors) || joined(own.To, poles) && joined(own.From, capacitors)
}

// howLong says how long a short on the output heats the resistor.
func (s served) howLong(p *rules.Pass) string {
	switch {
	case s.Resistor.Permanent:
		return " continuously, since it is permanent"
	case s.alwaysFed(p):
		return " continuously, since no contact but the disconnect's lies in its way"
	case s.Contactor.ClosesAt != nil:
		return " continuously, since " + s.Contactor.ID + " waits for a voltage that never comes"
	case !s.Delay().Known:
		return " for as long as the key is on"
	}
	return ""
}
