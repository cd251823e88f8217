package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// hotSteps adds how hot a coil gets to the working, and returns it.
func hotSteps(c *rules.Check, p *rules.Pass, d device) circuit.CoilHeat {
	heat := p.Circuit.CoilTemperature(d.id, circuit.CoilHot)
	ambient := capacity.AirAt(p, d.base, nil).Explain(c.Working)
	if regulated(d.coil) {
		return heat
	}
	rise := c.Or("dT_n", "rise of the winding at nominal voltage", d.coil.RiseK, "K", d.coilPath("rise_K"),
		p.Spec.Policy.CoilRiseK, "policy.coil_rise_K")
	c.Solved("V_run", "highest coil voltage in use", heat.V, "V", "pack at nominal voltage, over all modes")
	c.Given("V_n", "nominal coil voltage", d.coil.NominalV, "V", d.coilPath("nominal_V"))
	// The schema keeps these numbers within the domain.
	hot, _ := calc.CoilTemperature(ambient, rise, heat.V, d.coil.NominalV)
	c.Line("T_c", "temperature of the winding after long use", hot)
	return heat
}

// regulated reports whether a coil's electronics hold its current, so that its
// voltages do not follow the temperature of the copper.
func regulated(coil *schema.Coil) bool { return coil.Drive == "economiser" }

// operateSteps adds the voltage at which a hot coil reliably pulls in to the
// working, and returns it. The coil must state its operate voltage.
func operateSteps(c *rules.Check, p *rules.Pass, d device) float64 {
	stated := d.coil.OperateV.Value
	heat := p.Circuit.CoilTemperature(d.id, circuit.CoilHot)
	switch {
	case regulated(d.coil):
		return c.Given("V_op", "operate voltage of the coil with economiser, not scaled with temperature", stated, "V", d.coilPath("operate_V"))
	case d.operateHolds(heat):
		c.Given("T_valid", "ambient up to which the operate voltage is valid", d.coil.OperateValidToC.Value, "C", d.coilPath("operate_valid_to_C"))
		return c.Given("V_op", "operate voltage", stated, "V", d.coilPath("operate_V"))
	}
	hotSteps(c, p, d)
	c.Given("V_op20", "operate voltage at 20 C", stated, "V", d.coilPath("operate_V"))
	return c.Line("V_op", "operate voltage of the hot coil", calc.AtTemperature("V_op20", stated, "V", heat.C))
}

// operateHolds reports whether the operate voltage is stated for the air around
// the coil, so that it is not scaled with the temperature.
func (d device) operateHolds(heat circuit.CoilHeat) bool {
	valid := d.coil.OperateValidToC
	return valid.Known && valid.Value >= heat.AmbientC
}

// releaseSteps adds the voltage at which a cold coil reliably drops out to the
// working, and returns it. The coil must state its release voltage.
func releaseSteps(c *rules.Check, p *rules.Pass, d device) float64 {
	stated := d.coil.ReleaseV.Value
	heat := p.Circuit.CoilTemperature(d.id, circuit.CoilCold)
	if regulated(d.coil) {
		return c.Given("V_rel", "release voltage of the coil with economiser, not scaled with temperature", stated, "V", d.coilPath("release_V"))
	}
	c.Given("T_c", "lowest ambient, where the release voltage is lowest", heat.AmbientC, "C", "vehicle.ambient_C.min")
	c.Given("V_rel20", "release voltage at 20 C", stated, "V", d.coilPath("release_V"))
	return c.Line("V_rel", "release voltage of the cold coil", calc.AtTemperature("V_rel20", stated, "V", heat.C))
}

// unknownCurrent is the path of what a coil's current depends on and the spec
// does not give, "" if it is known.
func unknownCurrent(d device) string {
	switch {
	case regulated(d.coil) && d.coil.PickupA.Known, !regulated(d.coil) && d.coil.ResistanceOhm.Known:
		return ""
	case regulated(d.coil):
		return d.coilPath("pickup_A")
	}
	return d.coilPath("resistance_Ohm")
}
