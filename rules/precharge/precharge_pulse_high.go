package precharge

import (
	"example.org/headroom/rules"
)

func prechargePulseHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-pulse-high",
		Family: family,
		Title:  "one pre-charge puts more energy into the resistor than its pulse rating",
		Why: "Charging a capacitor turns as much energy into heat in the resistor as it stores, whatever the resistance. A small resistor of the right power " +
			"has no time to dissipate it: its wire opens, and the next start is without a pre-charge.",
		Relation: "C V^2 / 2 (with a bleed resistor or other loads the integral of R i^2 until the contactor closes) <= pulse_J, pack full",
		Source:   "circuit theory (energy of charging a capacitor)",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"resistors.pulse_J", "controllers.capacitance_uF", "converters.input.capacitance_uF"},
		Fix:      "use a resistor with a higher pulse energy rating, such as a wire-wound one",
		Example: rules.Example{Vehicle: "heron", Subject: "soft", Edits: []rules.Edit{
			{Path: "resistors.soft.pulse_J", Value: "10"}}},
		Check: checkPulse,
	}
}

func checkPulse(p *rules.Pass) {
	for _, s := range resistors(p) {
		c, ok := onResistor(p, s)
		if !ok || !need(c, s.PulseJ, s.Resistor.Path()+".pulse_J", "%s: pulse energy rating is not given", s.Resistor.ID) {
			continue
		}
		v, ok := full(c, p, s.Attempt)
		if !ok {
			continue
		}
		joule, trouble := s.ExplainHeat(p, c.Working, s.Resistor.ID, v)
		if unknown(c, trouble) {
			continue
		}
		limit := c.Given("E_p", "pulse energy rating", s.PulseJ.Value, "J", s.Resistor.Path()+".pulse_J")
		if p.Required()*joule > limit {
			c.Fix("use a resistor for %s with pulse_J of at least %s, such as a wire-wound one", s.Resistor.ID, rules.Figure(s.pulseJ(p, v, joule)))
		}
		c.In(s.Mode, "pack full").AtMost(joules(joule), joules(limit), "%s: %s J from one pre-charge, pulse rating %s J",
			s.Resistor.ID, rules.Figure(joule), rules.Figure(limit))
	}
}
