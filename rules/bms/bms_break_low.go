package bms

import (
	"slices"
	"strings"

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
		Why: "The transistors see the short circuit after some hundred microseconds, at a thousand amperes and more. What the loop has stored goes into them, with what the battery feeds " +
			"until nothing flows: beyond what their clamp takes they break through, stay conducting for good, and nobody notices until they are needed.",
		Relation: "break.V > max_V of all batteries in series, and the energy in the switch V_br L (V_br - V) / R^2 (x - ln(1 + x)) <= break.J, with x = I R / (V_br - V) and " +
			"I = V/R (1 - exp(-t R/L)) at short_trip_us: that of L I^2 / 2 and what the battery feeds while the clamp at break.V brings I down to nothing. For a short circuit at the " +
			"controller or converter, and with the inductance of the range for its loop that gives most",
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
		k, series := b.BMS.Break, whole(p, b)
		if k == nil {
			c.NotChecked(field(b, "break"), "%s: what its switch withstands when it opens is not given", b.ID)
			return
		}
		// The first of several in series to open has the voltage of all of them.
		volt := demand.EndOfCharge(p, c.Working, series, map[string]bool{})
		switch {
		case k.V < volt:
			rated := c.Given("V_b", "highest voltage over the open switch", k.V, "V", field(b, "break.V"))
			c.AtMost(rules.Volts(volt), rules.Volts(rated), "%s: %s V over its open switch, which withstands %s V", b.ID, rules.Figure(volt), rules.Figure(rated))
			return
		case k.V == volt:
			c.Given("V_b", "highest voltage over the open switch", k.V, "V", field(b, "break.V"))
			c.Fail("%s: its switch holds %s V when it opens, no more than the battery has: that brings no short circuit down", b.ID, rules.Figure(volt))
			return
		case !b.BMS.ShortTripUs.Known:
			c.NotChecked(field(b, "short_trip_us"), "%s: how long its switch takes to see a short circuit is not given", b.ID)
			return
		case !k.J.Known:
			c.NotChecked(field(b, "break.J"), "%s: the energy that its switch takes when it opens on a short circuit is not given", b.ID)
			return
		}
		evalBreak(c, p, b, series, volt)
	})
}

// cutting is a short circuit on which a battery's switch opens: where, over which loop,
// with what inductance in H between the least and the most that it may have.
type cutting struct {
	at                 string
	loop               circuit.Loop
	henry, least, most float64
	calc.Cut
	calc.Clamped
}

// worstCut is the short circuit at a controller or converter that gives most energy to the
// switch of a battery when it opens; not ok where it feeds none.
func worstCut(p *rules.Pass, b *schema.Battery, volt, internal float64) (worst cutting, ok bool, err error) {
	s := b.BMS.ShortTripUs.Value / 1e6
	for _, e := range p.Circuit.Edges {
		if e.Kind != circuit.ControllerEdge && e.Kind != circuit.ConverterInput || p.Spec.Part(e.Part).Common().Spare {
			continue
		}
		l, found := p.Circuit.LoopTo(e, nil)
		if !found || !feeds(l, b.ID) {
			continue
		}
		x := cutting{at: e.Part, loop: l}
		x.least, x.most = charging.HenryRange(l)
		x.henry = calc.MostClamped(volt, internal+l.Ohm, b.BMS.Break.V, s, x.least, x.most)
		if x.Cut, err = calc.CutShort(volt, internal+l.Ohm, x.henry, s); err != nil {
			return x, false, err
		}
		if x.Clamped, err = x.Cut.Clamp(b.BMS.Break.V); err != nil {
			return x, false, err
		}
		if !ok || x.Clamped.J > worst.Clamped.J {
			worst, ok = x, true
		}
	}
	return worst, ok, nil
}

// feeds reports whether a battery is one of those that feed a loop.
func feeds(l circuit.Loop, battery string) bool {
	return slices.ContainsFunc(l.Strings, func(s circuit.SeriesString) bool { return s.Has(battery) })
}

func evalBreak(c *rules.Check, p *rules.Pass, b *schema.Battery, series circuit.SeriesString, volt float64) {
	internal, terms := 0.0, []string{}
	for _, one := range series {
		r, err := demand.BatteryResistance(p, c.Working, one.ID, circuit.Least)
		if err != nil {
			c.NotChecked(one.Path+".resistance_mOhm", "%s: the current of a short circuit depends on the resistance of %s, which is not given", b.ID, one.ID)
			return
		}
		internal += r
		terms = append(terms, rules.Term(1000*r))
	}
	cut, ok, err := worstCut(p, b, volt, internal)
	switch {
	case err != nil:
		c.NotChecked(field(b, "short_trip_us"), "%s: %v", b.ID, err)
		return
	case !ok:
		c.Holds(true, "%s: it feeds no controller or converter", b.ID)
		return
	}
	loop := c.Solved("R_l", "conductors and fuses of the loop to "+cut.at, 1000*cut.loop.Ohm, "mOhm", "copper at the lowest ambient, contacts neglected")
	c.Calc("R", "resistance of the loop", "sum of R_b,min + R_l", strings.Join(append(terms, rules.Term(loop)), " + "), 1000*internal+loop, "mOhm")
	c.Solved("l", "length of conductor in the loop, out and back", cut.loop.LengthM, "m", "sum over the loop")
	c.Given("t", "time until it opens", b.BMS.ShortTripUs.Value, "us", field(b, "short_trip_us"))
	c.Standard("L", "inductance of the loop", 1e6*cut.henry, "uH", "the one with which most goes into the switch, of "+
		rules.Figure(1e6*cut.least)+" to "+rules.Figure(1e6*cut.most)+" uH: 1 to 2 uH per metre of the pair, and up to 1 uH for battery, fuse and contacts, common practice")
	c.Lines(cut.Cut.Steps()...)
	c.Given("V_br", "voltage that its switch holds meanwhile", b.BMS.Break.V, "V", field(b, "break.V"))
	c.Lines(cut.Clamped.Steps()...)
	limit := c.Given("E_b", "energy that its switch takes", b.BMS.Break.J.Value, "J", field(b, "break.J"))
	c.AtMost(rules.Quantity{Value: cut.Clamped.J, Unit: "J"}, rules.Quantity{Value: limit, Unit: "J"},
		"%s: its switch opens a short circuit at %s with %s A, and %s J go into it until nothing flows; it withstands %s J",
		b.ID, cut.at, rules.Figure(cut.A), rules.Figure(cut.Clamped.J), rules.Figure(limit))
}
