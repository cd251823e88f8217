package contactor

import (
	"cmp"
	"slices"

	"example.org/headroom/rules"
)

func suppressionSlow() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-slow",
		Family: family,
		Title:  "a large contactor is suppressed by a plain diode alone",
		Why: "A plain diode lets the coil's current decay slowly: the contacts open three to ten times more slowly, the arc burns longer, " +
			"and the breaking capacity of the data sheet, measured without it, no longer holds.",
		Relation: "a contact rated above 30 A is not suppressed by a plain diode, its own or one in parallel; " +
			"nor by a resistor, with or without a diode, so small that L / (R_coil + R) exceeds 0.55 of the L / R_coil of a plain diode",
		Source: "relay application notes (release 2.6 ms with a resistor, 8 ms with a diode); circuit theory; the 30 A, and a resistor " +
			"of about the coil's own resistance, are common practice",
		Level: rules.Warning,
		Fix:   "put a zener diode of about the supply voltage in series with the diode, or use a suppressor that clamps at a higher voltage",
		Example: rules.Example{Vehicle: "badger", Subject: "pump_contactor", Edits: []rules.Edit{
			{Path: "contactors.pump_contactor.coil.suppression", Value: `"diode"`},
			{Path: "contactors.pump_contactor.coil.clamp_V", Value: "0.8"}}},
		Check: checkSuppressionSlow,
	}
}

// slowFromA is the rated current above which a slow release matters.
const slowFromA = 30

// slowShare is the share of the time constant with a plain diode that a
// resistor may leave: it does with one of about the coil's own resistance, less
// the tolerances of both.
const slowShare = 0.55

func checkSuppressionSlow(p *rules.Pass) {
	for _, d := range devices(p) {
		clamps := d.clamps(p)
		if len(clamps) == 0 {
			continue // nothing known that could be slow
		}
		if c, ok := onCoil(p, d); ok {
			evalSlow(c, p, d, clamps)
		}
	}
}

// evalSlow takes any clamp that is slow: it conducts whatever is in parallel with it.
func evalSlow(c *rules.Check, p *rules.Pass, d device, clamps []clamp) {
	i := slices.IndexFunc(clamps, func(k clamp) bool { return k.kind == "diode" })
	resistive := slices.DeleteFunc(slices.Clone(clamps), func(k clamp) bool { return k.row == nil || len(k.row.resistors) == 0 })
	switch {
	case i < 0 && len(resistive) == 0:
		k, _ := lowest(clamps)
		c.Holds(true, "coil of %s: suppressed by %s", d.id, k)
		return
	case !d.contact.CarryA.Known:
		c.NotChecked(d.contactPath("carry_A"), "coil of %s: whether a slow release matters depends on the rated current of the contact, which is not given", d.id)
		return
	}
	carry := c.Given("I_c", "rated current of the contact", d.contact.CarryA.Value, "A", d.contactPath("carry_A"))
	c.Default("I_slow", "rated current above which a slow release matters", slowFromA, "A", "common practice")
	if i >= 0 {
		k := clamps[i]
		if k.owner != d.id {
			c.Related(k.path, "the diode")
		}
		c.Fix("replace the plain diode of %s by a suppression (a diode with a zener diode of about the supply voltage in series, or a bidirectional suppressor)%s", k.owner, d.clampText(p))
		c.Holds(carry <= slowFromA, "%s: rated %s A and suppressed by the plain diode of %s, which is acceptable up to %s A", d.id, rules.Figure(carry), k.owner, rules.Figure(slowFromA))
		return
	}
	slowest := slices.MinFunc(resistive, func(a, b clamp) int { return cmp.Compare(a.row.ohm(), b.row.ohm()) })
	if carry <= slowFromA {
		c.Holds(true, "%s: rated %s A and suppressed by %s", d.id, rules.Figure(carry), slowest)
		return
	}
	evalDecay(c, p, d, slowest)
}

// evalDecay checks how fast a resistor lets the current of the coil, and of
// those in parallel with it, die away.
func evalDecay(c *rules.Check, p *rules.Pass, d device, k clamp) {
	var siemens float64
	list := d.parallel(p)
	for _, x := range list {
		if !x.coil.ResistanceOhm.Known {
			c.NotChecked(x.coilPath("resistance_Ohm"), "coil of %s: how fast it releases with %s depends on its resistance, which is not given", d.id, k)
			return
		}
		siemens += 1 / c.Given("R_c", "resistance of the coil of "+x.id, x.coil.ResistanceOhm.Value, "Ohm", x.coilPath("resistance_Ohm"))
	}
	coil := 1 / siemens
	if len(list) > 1 {
		c.Calc("R_c", "resistance of the coils in parallel", "1 / sum of 1 / R_c", "", coil, "Ohm")
	}
	for _, x := range k.row.resistors {
		c.Given("R", "resistance of "+x.ID, x.ResistanceOhm, "Ohm", x.Path()+".resistance_Ohm")
	}
	share := c.Calc("s", "time constant of the decay, L / (R_c + R), against that with a plain diode, L / R_c", "R_c / (R_c + R)",
		rules.Term(coil)+" / ("+rules.Term(coil)+" + "+rules.Term(k.row.ohm())+")", coil/(coil+k.row.ohm()), "")
	c.Default("s_max", "share that a resistor of about the coil's own resistance leaves", slowShare, "", "common practice")
	c.Related(k.path, "the suppression")
	// With a resistor as the coil's own the clamp is about the supply.
	if most, ok := d.mostClampV(p); ok {
		if supply, _, failed := d.highestV(p); failed == nil && most < supply {
			c.Fix("put a diode with a zener diode in place of the resistor, that clamps at no more than %s V: the coil's own %s Ohm would let the voltage rise too far", rules.Figure(most), rules.Figure(coil))
		} else {
			c.Fix("use a resistor of about %s Ohm, the coil's own resistance, or a diode with a zener diode that clamps at no more than %s V", rules.Figure(coil), rules.Figure(most))
		}
	} else {
		c.Fix("use a resistor of about %s Ohm, the coil's own resistance, if the switch withstands the voltage, or a zener diode instead", rules.Figure(coil))
	}
	c.Holds(share <= slowShare, "%s: rated %s A and suppressed by %s; with %s Ohm to the coil's %s Ohm its current decays in %.0f %% of the time with a plain diode, at most %.0f %% is acceptable",
		d.id, rules.Figure(d.contact.CarryA.Value), k, rules.Figure(k.row.ohm()), rules.Figure(coil), 100*share, 100*slowShare)
}
