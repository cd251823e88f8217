package motor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func phaseCableLong() *rules.Rule {
	return &rules.Rule{
		ID:     "phase-cable-long",
		Family: family,
		Title:  "phase cables are so long that the switched voltage arrives doubled",
		Why: "The steps of the controller travel along the cable and are thrown back at the winding: beyond a few metres the motor's first turns get twice the " +
			"voltage of the pack at each of them, and the cable is an aerial that upsets throttle and display.",
		Relation: "length of each phase cable <= 4 m, which is about t_r v / 2 of steps with a rise time of 50 ns at 150 m/us",
		Source:   "theory of lines; NEMA MG 1 part 31 for windings that withstand it, from memory; the length is common practice",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.required.phase-cable-long"},
		Fix:      "bring the controller nearer to the motor, or use a motor whose winding is made for inverters and a screened cable",
		Example: rules.Example{Vehicle: "mole", Subject: "motor", Edits: []rules.Edit{
			{Path: "wires.w_phase_u.length_m", Value: "5"}}},
		Check: checkPhaseLength,
	}
}

// longM is the longest phase cable in m that needs no thought (common practice), and
// of what the rise time in ns and the speed in m/us are taken.
const (
	longM   = 4
	riseNs  = 50
	speedMU = 150
)

func checkPhaseLength(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		if d.MotorKind == "brushed" {
			c.Holds(true, "%s: a brushed motor is switched once a cycle, by one voltage", d.ID)
			return
		}
		var longest *schema.Wire
		for _, e := range d.cables {
			if w := p.Spec.Wires[e.ID]; w != nil && (longest == nil || w.LengthM > longest.LengthM) {
				longest = w
			}
		}
		if longest == nil {
			c.Holds(true, "%s is joined to %s by bars", d.ID, d.by.ID)
			return
		}
		c.Line("l_d", "length from which a step of 50 ns arrives doubled", calc.DoublingLength(riseNs, speedMU))
		l := c.Given("l", "length of "+longest.ID, longest.LengthM, "m", longest.Path()+".length_m")
		limit := c.Default("l_max", "longest phase cable that needs no thought", longM, "m", "common practice")
		c.AtMost(rules.Quantity{Value: l, Unit: "m"}, rules.Quantity{Value: limit, Unit: "m"}, "%s: its phase cable %s is %s m long, steps arrive doubled beyond about %s m",
			d.ID, longest.ID, rules.Figure(l), rules.Figure(limit))
	})
}
