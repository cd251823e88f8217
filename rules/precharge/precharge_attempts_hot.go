package precharge

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
)

func prechargeAttemptsHot() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-attempts-hot",
		Family: family,
		Title:  "the pre-charge resistor does not cool down between attempts",
		Why: "Somebody turns the key three times because the vehicle does not start at once. Each attempt heats the resistor anew; " +
			"a resistor that withstands one pulse may burn at the third in a minute.",
		Relation: "W_N = E (1 - q^N) / (1 - q) <= pulse_J, q = exp(-T / tau): the heat left after N = policy.precharge_attempts attempts, one every T = 60 s / N, " +
			"in a resistor that withstands pulse_J at once and is rated power_W continuous, which gives it the time constant tau = pulse_J / power_W",
		Source:   "thermal replica of first order (the form of IEC 60255-149); the number of attempts is common practice. The ratings are taken as given, for the resistor as mounted",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.precharge_attempts"},
		Vital:    []string{"resistors.pulse_J", "resistors.power_W", "controllers.capacitance_uF", "converters.input.capacitance_uF"},
		Fix:      "use a resistor with a higher power rating or mount it on a heat sink, or let the controller lock further attempts for a while",
		Example: rules.Example{Vehicle: "heron", Subject: "soft", Edits: []rules.Edit{
			{Path: "resistors.soft.power_W", Value: "0.5"},
			{Path: "resistors.soft.pulse_J", Value: "20"}}},
		Check: checkAttempts,
	}
}

func checkAttempts(p *rules.Pass) {
	for _, s := range resistors(p) {
		c, ok := onResistor(p, s)
		if !ok || !need(c, s.PulseJ, s.Resistor.Path()+".pulse_J", "%s: pulse energy rating is not given", s.Resistor.ID) ||
			!need(c, s.PowerW, s.Resistor.Path()+".power_W", "%s: continuous power rating is not given", s.Resistor.ID) {
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
		evalAttempts(c.In(s.Mode, "pack full"), p, s, joule)
	}
}

func evalAttempts(c *rules.Check, p *rules.Pass, s served, joule float64) {
	path := s.Resistor.Path()
	n := c.Default("N", "attempts in a minute", math.Floor(p.Spec.Policy.PrechargeAttempts), "", "policy.precharge_attempts")
	limit, power, tau := explainReplica(c, s)
	q := c.Line("q", "share of the heat that is left from one attempt to the next", calc.HeatKept(n, tau))
	left := c.Line("W_N", "heat in it after the last attempt", calc.RepeatedHeat(joule, q, n))
	if joule > limit {
		c.Because("precharge-pulse-high", s.Resistor.ID)
	}
	c.Related(path+".power_W", "its continuous power rating")
	if p.Required()*left > limit {
		fixAttempts(c, p, s, joule, limit, power)
	}
	c.AtMost(joules(left), joules(limit), "%s: %s J left in it after %s attempts in a minute, pulse rating %s J, %s W continuous",
		s.Resistor.ID, rules.Figure(left), rules.Figure(n), rules.Figure(limit), rules.Figure(power))
}

// fixAttempts says what a resistor that holds limit J at once and power W continuously
// must be rated for, if one attempt heats it by some J.
func fixAttempts(c *rules.Check, p *rules.Pass, s served, joule, limit, power float64) {
	pulse := limit
	if need := charging.Required(p, "precharge-pulse-high") * joule; pulse < need {
		const reserve = 1.2 // what one attempt leaves for the rest of the one before
		pulse = rules.RoundUp(reserve*need, charging.Step(need))
	}
	watts := max(power, s.watts(p, joule, pulse))
	c.Fix("use a resistor for %s rated at least %s W continuous with pulse_J of at least %s, or let the controller lock further attempts for a minute",
		s.Resistor.ID, rules.Figure(rules.RoundUp(watts, charging.Step(watts))), rules.Figure(pulse))
}

// explainReplica adds the ratings of a resistor that make it a store of heat: what it
// withstands at once, in J, and continuously, in W, and the time constant in s that
// follows from both.
func explainReplica(c *rules.Check, s served) (limit, power, tau float64) {
	path := s.Resistor.Path()
	limit = c.Given("E_p", "pulse energy rating", s.PulseJ.Value, "J", path+".pulse_J")
	power = c.Given("P_n", "continuous power rating", s.PowerW.Value, "W", path+".power_W")
	return limit, power, c.Calc("tau_R", "thermal time constant", "E_p / P_n", rules.Term(limit)+" / "+rules.Term(power), limit/power, "s")
}
