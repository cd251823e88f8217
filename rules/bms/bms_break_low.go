package bms

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func breakLow() *rules.Rule {
	return &rules.Rule{
		ID:     "bms-break-low",
		Family: family,
		Title:  "the switch in a pack does not withstand switching off a short circuit",
		Why: "The transistors see the short circuit after some hundred microseconds, at a thousand amperes and more. What the loop has stored then must go somewhere: " +
			"beyond their clamp they break through, stay conducting for good, and nobody notices until they are needed.",
		Relation: "break.V >= max_V, and L I^2 / 2 <= break.J with I = V/R (1 - exp(-t R/L)) at short_trip_us, for a short circuit at the far end of the longest loop of the pack",
		Source:   "circuit theory (series RL circuit); data sheet",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.bms-break-low"},
		Vital:    []string{"batteries.bms.break", "batteries.bms.short_trip_us", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a pack whose switch takes more, or shorten the loop; the fuse before it clears the fault in either case",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.bms.break.J", Value: "1"}}},
		Check: checkBreak,
	}
}

func checkBreak(p *rules.Pass) {
	each(p, func(c *rules.Check, b *schema.Battery) {
		switch k := b.BMS.Break; {
		case k == nil:
			c.NotChecked(field(b, "break"), "%s: what its switch withstands when it opens is not given", b.ID)
			return
		case k.V < b.MaxV:
			v := c.Given("V_max", "highest voltage of "+b.ID, b.MaxV, "V", b.Path()+".max_V")
			rated := c.Given("V_b", "highest voltage over the open switch", k.V, "V", field(b, "break.V"))
			c.AtMost(rules.Volts(v), rules.Volts(rated), "%s: %s V over its open switch, which withstands %s V", b.ID, rules.Figure(v), rules.Figure(rated))
			return
		case !b.BMS.ShortTripUs.Known:
			c.NotChecked(field(b, "short_trip_us"), "%s: how long its switch takes to see a short circuit is not given", b.ID)
			return
		case !k.J.Known:
			c.NotChecked(field(b, "break.J"), "%s: the energy that its switch takes when it opens on a short circuit is not given", b.ID)
			return
		}
		l, to, ok := longest(p, b)
		if !ok {
			c.Holds(true, "%s: it feeds no controller or converter", b.ID)
			return
		}
		evalBreak(c, p, b, l, to)
	})
}

// longest is the loop with the longest conductors from a battery to a controller or
// converter, and that.
func longest(p *rules.Pass, b *schema.Battery) (best circuit.Loop, to string, ok bool) {
	for _, e := range p.Circuit.Edges {
		if e.Kind != circuit.ControllerEdge && e.Kind != circuit.ConverterInput || p.Spec.Part(e.Part).Common().Spare {
			continue
		}
		l, found := p.Circuit.LoopTo(e, nil)
		if found && feeds(l, b.ID) && (!ok || l.LengthM > best.LengthM) {
			best, to, ok = l, e.Part, true
		}
	}
	return best, to, ok
}

// feeds reports whether a battery is one of those that feed a loop.
func feeds(l circuit.Loop, battery string) bool {
	for _, s := range l.Strings {
		for _, b := range s {
			if b.ID == battery {
				return true
			}
		}
	}
	return false
}

func evalBreak(c *rules.Check, p *rules.Pass, b *schema.Battery, l circuit.Loop, to string) {
	internal, err := demand.BatteryResistance(p, c.Working, b.ID, circuit.Least)
	if err != nil {
		c.NotChecked(b.Path()+".resistance_mOhm", "%s: the current of a short circuit depends on its resistance, which is not given", b.ID)
		return
	}
	v := c.Given("V_max", "highest voltage of "+b.ID, b.MaxV, "V", b.Path()+".max_V")
	loop := c.Solved("R_l", "conductors and fuses of the loop to "+to, 1000*l.Ohm, "mOhm", "copper at the lowest ambient, contacts neglected")
	ohm := c.Calc("R", "resistance of the loop", "R_b,min + R_l", rules.Term(1000*internal)+" + "+rules.Term(loop), 1000*internal+loop, "mOhm")
	henry := charging.GreatestLoopHenry(c.Working, l)
	t := c.Given("t", "time until it opens", b.BMS.ShortTripUs.Value, "us", field(b, "short_trip_us"))
	cut, err := calc.CutShort(v, ohm/1000, henry, t/1e6)
	if err != nil {
		c.NotChecked(field(b, "short_trip_us"), "%s: %v", b.ID, err)
		return
	}
	c.Lines(cut.Steps()...)
	limit := c.Given("E_b", "energy that its switch takes", b.BMS.Break.J.Value, "J", field(b, "break.J"))
	c.AtMost(rules.Quantity{Value: cut.J, Unit: "J"}, rules.Quantity{Value: limit, Unit: "J"}, "%s: its switch opens a short circuit at %s with %s A and %s J in the loop, it takes %s J",
		b.ID, to, rules.Figure(cut.A), rules.Figure(cut.J), rules.Figure(limit))
}
