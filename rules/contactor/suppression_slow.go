package contactor

import "example.org/headroom/rules"

func suppressionSlow() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-slow",
		Family: family,
		Title:  "a large contactor is suppressed by a plain diode alone",
		Why: "A plain diode lets the coil's current die away slowly: the contacts part three to ten times more slowly, the arc burns longer, " +
			"and the breaking capacity of the data sheet, measured without it, no longer holds.",
		Relation: "a contact that carries more than 30 A is not suppressed by a plain diode, its own or one in parallel",
		Source:   "relay application notes (release 2.6 ms with a resistor, 8 ms with a diode); the 30 A are common practice",
		Level:    rules.Warning,
		Fix:      "put a zener diode of about the supply voltage in series with the diode, or use a suppressor that clamps higher",
		Example: rules.Example{Vehicle: "badger", Subject: "pump_contactor", Edits: []rules.Edit{
			{Path: "contactors.pump_contactor.coil.suppression", Value: `"diode"`},
			{Path: "contactors.pump_contactor.coil.clamp_V", Value: "0.8"}}},
		Check: checkSuppressionSlow,
	}
}

// slowFromA is the carrying current above which a slow release matters.
const slowFromA = 30

func checkSuppressionSlow(p *rules.Pass) {
	for _, d := range devices(p) {
		clamps := d.clamps(p)
		k, ok := lowest(clamps)
		if !ok {
			continue // nothing known that could be slow
		}
		c, ok := onCoil(p, d)
		switch {
		case !ok:
		case k.kind != "diode":
			c.Holds(true, "%s is suppressed by %s of %s", d.id, k.kind, k.owner)
		case !d.contact.CarryA.Known:
			c.NotChecked(d.contactPath("carry_A"), "whether a slow release matters depends on what %s carries", d.id)
		default:
			carry := c.Given("I_c", "current that the contact carries", d.contact.CarryA.Value, "A", d.contactPath("carry_A"))
			c.Default("I_slow", "current from which a slow release matters", slowFromA, "A", "common practice")
			if k.owner != d.id {
				c.Related(k.path, "the diode")
			}
			c.Holds(carry <= slowFromA, "%s, which carries %s A, is suppressed by the plain diode of %s", d.id, figure(carry), k.owner)
		}
	}
}
