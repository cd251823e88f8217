package connector

import (
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
)

func inrushHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-inrush-high",
		Family: family,
		Title:  "mating a connector puts a battery onto empty capacitors",
		Why: "The plug is pushed in and there is a bang. Each time a crater is left where the contacts touch first, and after some dozen times they run hot there " +
			"under load, or stick.",
		Relation: "with every contact and switch that may be open before it open, nothing is charged through the connector; or the first peak of the current <= make_A; or, where that is not " +
			"stated, C V^2 / 2 <= policy.mating_spark_J. With a resistor that mates first V is what it leaves, V exp(-t/(R C))",
		Source:   "circuit theory (step into a series RLC circuit); 0.1 J of a spark that leaves no mark from common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.mating_spark_J", "policy.required.connector-inrush-high"},
		Vital:    []string{"controllers.capacitance_uF", "converters.input.capacitance_uF", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "mate it before a disconnect or contactor with a pre-charge is closed, or use a connector with a resistor on a contact that mates first",
		Example: rules.Example{Vehicle: "mole", Subject: "tap_plug", Edits: []rules.Edit{
			{Path: "connectors.tap_plug", Value: tapPlug},
			{Path: "wires.w_converter_pos.from", Value: `"tap_plug.b1"`},
			{Path: "wires.w_tap", Value: `{"from": "pack.pos", "to": "tap_plug.a1", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkInrush,
	}
}

// tapPlug is the connector of examples that feeds a converter past everything that opens.
const tapPlug = `{"contacts": [{"carry_A": 10, "rated_V_dc": 80}], "lock": "latch"}`

func checkInrush(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		v, ok := k.mating(p)
		if !ok {
			c.Holds(true, "%s: what it feeds is behind a contact or switch that may be open when it is mated", k.ID)
			return
		}
		if v.Missing != "" {
			c.NotChecked(v.Missing, "%s mates onto the capacitors of %s; the capacitance is not given", k.ID, v.What)
			return
		}
		k.evalInrush(c, p, v)
	})
}

func (k plug) evalInrush(c *rules.Check, p *rules.Pass, v charging.Event) {
	if k.FirstMate != nil {
		volt := fullV(c, p, v)
		left, ok := k.leftV(c, v, volt)
		if !ok {
			return
		}
		v.LeftV.Value, v.LeftV.Known = left, true
	}
	if k.MakeA.Known {
		peak, ok := v.Inrush(c, p)
		if !ok {
			return
		}
		limit := c.Given("I_m", "highest current on mating", k.MakeA.Value, "A", k.Path()+".make_A")
		c.AtMost(rules.Amperes(peak), rules.Amperes(limit), "%s mates on %s A into the capacitors of %s, rated %s A", k.ID, rules.Figure(peak), v.What, rules.Figure(limit))
		return
	}
	volt := v.LeftV.Value
	if !v.LeftV.Known {
		volt = fullV(c, p, v)
	}
	uF := c.Solved("C", "capacitance of "+v.What, 1e6*v.Farad, "uF", strconv.Itoa(len(v.Terms))+" of them together")
	e := c.Line("E", "energy of the spark", calc.StoredEnergy(volt, uF/1e6))
	limit := c.Default("E_max", "energy of a spark that leaves no mark", p.Spec.Policy.MatingSparkJ, "J", "policy.mating_spark_J")
	c.AtMost(rules.Quantity{Value: e, Unit: "J"}, rules.Quantity{Value: limit, Unit: "J"}, "%s mates onto the capacitors of %s: %s J in the spark, at most %s J leave no mark, and no make_A is stated",
		k.ID, v.What, rules.Figure(e), rules.Figure(limit))
}

// leftV is the voltage in V that the capacitors lack when the power contacts meet, after
// the resistor of the contact that mates first.
func (k plug) leftV(c *rules.Check, v charging.Event, volt float64) (float64, bool) {
	t, ok := k.leadMS(c)
	if !ok {
		return 0, false
	}
	ohm := c.Given("R_1", "resistor of the contact that mates first", k.FirstMate.ResistanceOhm, "Ohm", k.Path()+".first_mate.resistance_Ohm")
	l, err := calc.LeftAfter(volt, t/1000, ohm, v.Farad)
	if err != nil {
		c.NotChecked(k.Path()+".first_mate", "%s: %v", k.ID, err)
		return 0, false
	}
	return c.Line("dV", "voltage that the capacitors lack then", l), true
}

// leadMS is the time in ms by which the first contact leads.
func (k plug) leadMS(c *rules.Check) (ms float64, ok bool) {
	lead := c.Given("s", "how far the first contact mates before the others", k.FirstMate.LeadMM, "mm", k.Path()+".first_mate.lead_mm")
	speed := c.Default("v", "speed of a hand that pushes", calc.PushSpeed, "m/s", "common practice")
	l, err := calc.LeadTime(lead, speed)
	if err != nil {
		c.NotChecked(k.Path()+".first_mate.lead_mm", "%s: %v", k.ID, err)
		return 0, false
	}
	return c.Line("t", "time between them", l), true
}
