package motor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func motorVoltageHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "motor-voltage-high",
		Family: family,
		Title:  "a permanent-magnet motor turned by its wheels gives more voltage than its controller withstands",
		Why: "Its magnets cannot be switched off. Downhill or on a tow rope it feeds the controller's capacitors through the diodes of its output stage, " +
			"whether the key is off and the contactor open or not; above the rating of what hangs there that is destroyed, without any warning before.",
		Relation: "max_rpm / kv_rpm_per_V <= max_V of the controller, and of every converter, load and meter that stays connected to it when its contactor opens",
		Source:   "circuit theory (rectified electromotive force)",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.motor-voltage-high"},
		Vital:    []string{"motors.kv_rpm_per_V", "motors.max_rpm"},
		Fix:      "use a motor with a higher speed constant or a longer gear, or parts with a higher rating",
		Example: rules.Example{Vehicle: "mole", Subject: "motor", Edits: []rules.Edit{
			{Path: "motors.motor.max_rpm", Value: "4500"}}},
		Check: checkTurned,
	}
}

func checkTurned(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		switch {
		case d.MotorKind != "permanent-magnet":
			c.Holds(true, "%s gives no voltage of its own when it is turned", d.ID)
			return
		case !d.KvRPMPerV.Known:
			c.NotChecked(d.Path()+".kv_rpm_per_V", "%s: what voltage it gives when it is turned is not stated", d.ID)
			return
		case !d.MaxRPM.Known:
			c.NotChecked(d.Path()+".max_rpm", "%s: its highest speed, downhill and when towed, is not stated", d.ID)
			return
		}
		weakest, path, limit, failed := d.weakest(p)
		if failed != nil {
			c.Unsettled(failed, failed.Alternating()...)
			return
		}
		n := c.Given("n", "highest speed of "+d.ID, d.MaxRPM.Value, "rpm", d.Path()+".max_rpm")
		kv := c.Given("k_v", "speed constant of "+d.ID, d.KvRPMPerV.Value, "rpm/V", d.Path()+".kv_rpm_per_V")
		emf, err := calc.EMF(n, kv)
		if err != nil {
			c.NotChecked(d.Path()+".kv_rpm_per_V", "%s: %v", d.ID, err)
			return
		}
		v := c.Line("V", "voltage that it gives when it is turned so fast", emf)
		c.Given("V_max", "rated voltage of "+weakest, limit, "V", path)
		c.Related(path, "the weakest part behind the motor")
		c.Fix("keep %s below %s rpm, or use a %s rated for at least %s V", d.ID, rules.Figure(rules.RoundDown(limit*kv/p.Required(), 10)), weakest, rules.Figure(rules.RoundUp(v*p.Required(), 0.1)))
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: gives %s V when turned at %s rpm, contactor open or not; %s is rated %s V",
			d.ID, rules.Figure(v), rules.Figure(n), weakest, rules.Figure(limit))
	})
}

// weakest is the part with the lowest rated voltage of the controller and of what stays
// connected to it when something opens, in the modes in which it drives.
func (d drive) weakest(p *rules.Pass) (id, path string, v float64, failed *circuit.Solution) {
	id, path, v = d.by.ID, d.by.Path()+".max_V", d.by.MaxV
	for mode, m := range schema.Sorted(p.Spec.Modes) {
		if m.Draw[d.by.ID] == nil {
			continue
		}
		s := p.Circuit.Solve(demand.Full(mode))
		if s.Failed != "" {
			return "", "", 0, s
		}
		for _, o := range s.Held(true).Openings(p.Circuit.Edge(d.by.ID)) {
			if o.By == nil {
				continue
			}
			for _, e := range o.Beside {
				if own, from := capacity.WithstandV(p.Spec, e); own > 0 && own < v {
					id, path, v = e.Part, from, own
				}
			}
		}
	}
	return id, path, v, nil
}
