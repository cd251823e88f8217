package motor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

func motorOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "motor-overloaded",
		Family: family,
		Title:  "the controller lets more current through than the motor is rated for",
		Why: "Whatever the modes say, somebody pulls the loaded cart up the ramp at walking pace. The controller holds its own current limit and knows nothing of " +
			"the winding, which is at its limit of temperature within a minute; magnets that were too hot stay weak.",
		Relation: "phase_continuous_A of the controller <= that of the motor, both rms; and phase_peak_A <= what the motor takes for phase_peak_s: its own peak, beyond its time the " +
			"current with the same heating, or where only its time constant is stated what it takes for as long from warm",
		Source:   "IEC 60034-1 (ratings); thermal replica of first order, the form of IEC 60255-149; adiabatic heating above a steady state",
		Level:    rules.Error,
		Varies:   "warning where a sensor or cut-out in the winding ends the drive before",
		Required: 1,
		Policy:   []string{"policy.required.motor-overloaded"},
		Vital:    []string{"motors.phase_continuous_A", "controllers.phase_continuous_A", "controllers.phase_peak_A"},
		Fix:      "set the controller's phase current to what the motor is rated for",
		Example: rules.Example{Vehicle: "mole", Subject: "motor", Edits: []rules.Edit{
			{Path: "motors.motor.phase_continuous_A", Value: "90"}}},
		Check: checkMotor,
	}
}

func checkMotor(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		if d.ThermalCutout != nil && *d.ThermalCutout {
			c.Level(rules.Warning)
		}
		if !d.PhaseContinuousA.Known {
			c.NotChecked(d.Path()+".phase_continuous_A", "%s: its continuous phase current is not stated", d.ID)
			return
		}
		i, ok := d.continuousA(c)
		if !ok {
			return
		}
		rated := c.Given("I_c", "continuous phase current of "+d.ID+", rms", d.PhaseContinuousA.Value, "A", d.Path()+".phase_continuous_A")
		c.Related(d.by.Path(), "the controller that sets the current")
		if i*p.Required() > rated || !d.hasPeak() {
			c.Fix("set the continuous phase current of %s to at most %s A rms", d.by.ID, rules.Figure(rules.RoundDown(rated/p.Required(), 1)))
			c.AtMost(rules.Amperes(i), rules.Amperes(rated), "%s: %s lets %s A rms flow continuously, rated %s A", d.ID, d.by.ID, rules.Figure(i), rules.Figure(rated))
			return
		}
		peak, s, ok := d.peakA(c)
		if !ok {
			return
		}
		d.checkPeak(c, p, min(i, rated), rated, peak, s)
	})
}

// checkPeak holds the controller's peak against what the motor takes for as long, from
// the heat of a current before.
func (d drive) checkPeak(c *rules.Check, p *rules.Pass, before, rated, peak, s float64) {
	limit := rated
	switch {
	case d.PhasePeakA.Known && d.PhasePeakS.Known:
		c.Given("I_m", "peak phase current of "+d.ID+", rms", d.PhasePeakA.Value, "A", d.Path()+".phase_peak_A")
		c.Given("t_m", "how long it takes that", d.PhasePeakS.Value, "s", d.Path()+".phase_peak_s")
		burst, err := calc.BurstCurrent(d.PhasePeakA.Value, d.PhasePeakS.Value, rated, s)
		if err != nil {
			c.NotChecked(d.Path()+".phase_peak_A", "%s: %v", d.ID, err)
			return
		}
		limit = c.Line("I_t", "what it takes for as long", burst)
	case peak <= rated:
	case d.TauS.Known:
		tau := c.Given("tau", "time constant of the winding", d.TauS.Value, "s", d.Path()+".winding_tau_s")
		most, err := calc.PeakTime(peak, rated, before, tau)
		if err != nil || math.IsInf(most.Value, 1) {
			c.NotChecked(d.Path()+".phase_peak_A", "%s: %v", d.ID, err)
			return
		}
		t := c.Line("t", "how long it takes that peak, warm from the continuous current", most)
		c.AtLeast(rules.Quantity{Value: s, Unit: "s"}, rules.Quantity{Value: t, Unit: "s"}, "%s: %s lets %s A rms flow for %s s, its winding takes it for %s s",
			d.ID, d.by.ID, rules.Figure(peak), rules.Figure(s), rules.Figure(t))
		return
	default:
		c.NotChecked(d.Path()+".phase_peak_A", "%s: %s lets %s A rms flow for %s s; the motor's peak current is not stated", d.ID, d.by.ID, rules.Figure(peak), rules.Figure(s))
		return
	}
	c.Fix("set the peak phase current of %s to at most %s A rms", d.by.ID, rules.Figure(rules.RoundDown(limit/p.Required(), 1)))
	c.AtMost(rules.Amperes(peak), rules.Amperes(limit), "%s: %s lets %s A rms flow for %s s, rated %s A for that time",
		d.ID, d.by.ID, rules.Figure(peak), rules.Figure(s), rules.Figure(limit))
}
