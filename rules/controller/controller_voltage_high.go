package controller

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func controllerVoltageHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "controller-voltage-high",
		Family: family,
		Title:  "the working voltage exceeds the controller's rated voltage",
		Why: "A controller is chosen by the pack's nominal voltage. Full, on the charger, or braking downhill straight after charging, the pack is " +
			"a fifth above that; the capacitors and transistors of the controller fail short, at full pack voltage.",
		Relation: "highest working voltage <= max_V: the pack at its charge end (V_max), the chargers on it, and V_max + I_regen R_battery " +
			"when a full pack is fed back into",
		Source:   "ISO 6469-3 (maximum working voltage); circuit theory",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.controller-voltage-high"},
		Vital:    []string{"batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a controller rated for the highest working voltage, not for the nominal one, or a pack of fewer cells in series",
		Example: rules.Example{Vehicle: "mole", Subject: "drive", Edits: []rules.Edit{
			{Path: "controllers.drive.max_V", Value: "56"}}},
		Check: checkVoltageHigh,
	}
}

func checkVoltageHigh(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		highest, err := demand.HighestVoltage(p, c.Working, d.sources(p))
		limit := c.Given("V_lim", "highest voltage that "+d.ID+" withstands", d.MaxV, "V", d.Path()+".max_V")
		if demand.VoltageUnknown(c, err, p.Required()*highest <= limit, "of the supply of "+d.ID) {
			return
		}
		if charger := d.guiltyCharger(p, highest); charger != "" && highest > limit && d.batteryV(p) <= limit {
			c.Because("charger-voltage-high", charger)
		}
		c.Fix("use a controller rated for at least %s V that works down to at most %s V, or a pack of fewer cells in series",
			rules.Figure(rules.RoundUp(highest*p.Required(), 1)), rules.Figure(d.worksDownTo(p)))
		c.AtMost(rules.Volts(highest), rules.Volts(limit), "%s: supply up to %s V, rated %s V", d.ID, rules.Figure(highest), rules.Figure(limit))
	})
}

// worksDownTo is the greatest lowest voltage in V that suits the pack, empty, at rest
// and under load.
func (d drive) worksDownTo(p *rules.Pass) float64 {
	v := d.restV(p)
	if loaded, mode := d.saggedV(p); mode != "" {
		v = min(v, loaded)
	}
	return rules.RoundDown(v, 0.1)
}

// batteryV is the highest voltage of the batteries alone: full, and fed back into.
func (d drive) batteryV(p *rules.Pass) (highest float64) {
	a, _ := capacity.Regeneration(p.Spec, d.Controller)
	for _, s := range d.strings {
		ohm, _ := s.Ohm(p.Circuit, circuit.Typical)
		highest = max(highest, s.V(p.Spec, circuit.Highest)+a*ohm)
	}
	return highest
}

// guiltyCharger is the charger that makes the voltage so high; "" if none does.
func (d drive) guiltyCharger(p *rules.Pass, highest float64) string {
	for _, ch := range d.chargers(p) {
		if ch.MaxV >= highest {
			return ch.ID
		}
	}
	return ""
}
