package connector

import (
	"example.org/headroom/rules"
)

func firstMateShort() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-first-mate-short",
		Family: family,
		Title:  "the resistor of an anti-spark connector has too little time to charge the capacitors",
		Why: "Such a connector charges through its resistor for as long as the hand takes over the last millimetres. Larger capacitors than it was made for are " +
			"still half empty when the power contacts meet, and it sparks as if there were no resistor.",
		Relation: "lead_mm / 0.1 m/s >= 3 R C, after which 5 % are left",
		Source:   "circuit theory (charging of a capacitor); speed of the hand from common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.connector-first-mate-short"},
		Vital:    []string{"controllers.capacitance_uF", "converters.input.capacitance_uF"},
		Fix:      "use a connector with a longer first contact or a lower resistance, or pre-charge by a contactor",
		Example: rules.Example{Vehicle: "mole", Subject: "tap_plug", Edits: []rules.Edit{
			{Path: "connectors.tap_plug", Value: `{"contacts": [{"carry_A": 10, "rated_V_dc": 80}], "lock": "latch", "first_mate": {"resistance_Ohm": 1000, "lead_mm": 8}}`},
			{Path: "wires.w_converter_pos.from", Value: `"tap_plug.b1"`},
			{Path: "wires.w_tap", Value: `{"from": "pack.pos", "to": "tap_plug.a1", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkFirstMate,
	}
}

func checkFirstMate(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		if k.FirstMate == nil {
			return
		}
		v, ok := k.mating(p)
		switch {
		case !ok:
			c.Holds(true, "%s: it mates onto no capacitors", k.ID)
			return
		case v.Missing != "":
			c.NotChecked(v.Missing, "%s mates onto the capacitors of %s; the capacitance is not given", k.ID, v.What)
			return
		}
		t, ok := k.leadMS(c)
		if !ok {
			return
		}
		ohm := c.Given("R_1", "resistor of the contact that mates first", k.FirstMate.ResistanceOhm, "Ohm", k.Path()+".first_mate.resistance_Ohm")
		uF := c.Solved("C", "capacitance of "+v.What, 1e6*v.Farad, "uF", "sum")
		need := c.Calc("t_3", "time until 5 % are left", "3 R C", "3 * "+rules.Term(ohm)+" * "+rules.Term(uF)+" / 1000", 3*ohm*uF/1000, "ms")
		c.AtLeast(rules.Quantity{Value: need, Unit: "ms"}, rules.Quantity{Value: t, Unit: "ms"}, "%s: its first contact leads by %s ms, the capacitors of %s need %s ms through its resistor",
			k.ID, rules.Figure(t), v.What, rules.Figure(need))
	})
}
