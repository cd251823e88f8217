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
		Why: "A plain diode lets the coil's current die away slowly: the contacts part three to ten times more slowly, the arc burns longer, " +
			"and the breaking capacity of the data sheet, measured without it, no longer holds.",
		Relation: "a contact that carries more than 30 A is not suppressed by a plain diode, its own or one in parallel; " +
			"nor by a resistor, with or without a diode, so small that L / (R_coil + R) exceeds 0.55 of the L / R_coil of a plain diode",
		Source: "relay application notes (release 2.6 ms with a resistor, 8 ms with a diode); circuit theory; the 30 A, and a resistor " +
			"of about the coil's own resistance, are common practice",
		Level: rules.Warning,
		Fix:   "put a zener diode of about the supply voltage in series with the diode, or use a suppressor that clamps higher",
		Example: rules.Example{Vehicle: "badger", Subject: "pump_contactor", Edits: []rules.Edit{
			{Path: "contactors.pump_contactor.coil.suppression", Value: `"diode"`},
			{Path: "contactors.pump_contactor.coil.clamp_V", Value: "0.8"}}},
		Check: checkSuppressionSlow,
	}
}

// slowFromA is the carrying current above which a slow release matters.
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
			judgeSlow(c, p, d, clamps)
		}
	}
}

// judgeSlow takes any clamp that is slow: it conducts whatever lies beside it.
func judgeSlow(c *rules.Check, p *rules.Pass, d device, clamps []clamp) {
	i := slices.IndexFunc(clamps, func(k clamp) bool { return k.kind == "diode" })
	resistive := slices.DeleteFunc(slices.Clone(clamps), func(k clamp) bool { return k.row == nil || len(k.row.resistors) == 0 })
	switch {
	case i < 0 && len(resistive) == 0:
		k, _ := lowest(clamps)
		c.Holds(true, "%s is suppressed by %s", d.id, k)
		return
	case !d.contact.CarryA.Known:
		c.NotChecked(d.contactPath("carry_A"), "whether a slow release matters depends on what %s carries", d.id)
		return
	}
	carry := c.Given("I_c", "current that the contact carries", d.contact.CarryA.Value, "A", d.contactPath("carry_A"))
	c.Default("I_slow", "current from which a slow release matters", slowFromA, "A", "common practice")
	if i >= 0 {
		k := clamps[i]
		if k.owner != d.id {
			c.Related(k.path, "the diode")
		}
		c.Holds(carry <= slowFromA, "%s, which carries %s A, is suppressed by the plain diode of %s", d.id, rules.Figure(carry), k.owner)
		return
	}
	slowest := slices.MinFunc(resistive, func(a, b clamp) int { return cmp.Compare(a.row.ohm(), b.row.ohm()) })
	if carry <= slowFromA {
		c.Holds(true, "%s, which carries %s A, is suppressed by %s", d.id, rules.Figure(carry), slowest)
		return
	}
	judgeDecay(c, p, d, slowest)
}

// judgeDecay judges how fast a resistor lets the current of the coil, and of
// those in parallel with it, die away.
func judgeDecay(c *rules.Check, p *rules.Pass, d device, k clamp) {
	var siemens float64
	list := d.parallel(p)
	for _, x := range list {
		if !x.coil.ResistanceOhm.Known {
			c.NotChecked(x.coilPath("resistance_Ohm"), "how fast %s lets %s release depends on the resistance of its coil", k, d.id)
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
	c.Fix("use a resistor of about %s Ohm, the coil's own resistance, if the switch bears the voltage, or a zener diode in its place", rules.Figure(coil))
	c.Holds(share <= slowShare, "%s, which carries %s A, is suppressed by %s: at %s Ohm beside the %s Ohm of the coil its current dies away in %.0f %% of the time with a plain diode",
		d.id, rules.Figure(d.contact.CarryA.Value), k, rules.Figure(k.row.ohm()), rules.Figure(coil), 100*share)
}
