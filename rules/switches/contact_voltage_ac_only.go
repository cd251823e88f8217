package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func contactVoltageACOnly() *rules.Rule {
	return &rules.Rule{
		ID:     "contact-voltage-ac-only",
		Family: family,
		Title:  "a contact has a voltage rating for AC only",
		Why: "An alternating current passes through zero a hundred times a second, where the arc of opening goes out; the current of a battery does not. " +
			"A switch for 250 V AC often opens no more than 30 V DC: above that the arc stays between its open contacts until they have melted.",
		Relation: "where rated_V_ac is given, rated_V_dc is given too, of disconnects, contactors, relays, timers, thermal cut-outs and poles of switches",
		Source:   "IEC 60947-1 and IEC 61058-1 (utilisation categories by kind of current)",
		Level:    rules.Error,
		Fix: "find the figure for DC in the data sheet, which is another and lower one, and declare that as rated_V_dc; " +
			"if there is none, the contact is not made for a battery: use another",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.rated_V_dc"}, {Path: "disconnects.isolator.rated_V_ac", Value: "400"}}},
		Check: checkACOnly,
	}
}

func checkACOnly(p *rules.Pass) {
	eval := func(subject, path, field string, ac, dc schema.Number) {
		if !ac.Known {
			return
		}
		c := p.Subject(subject, path)
		c.Given("V_ac", "AC voltage rating of "+subject, ac.Value, "V", field+"rated_V_ac")
		if dc.Known {
			c.Given("V_dc", "DC voltage rating of "+subject, dc.Value, "V", field+"rated_V_dc")
			c.Holds(true, "%s: rated %s V DC beside %s V AC", subject, rules.Figure(dc.Value), rules.Figure(ac.Value))
			return
		}
		c.Related(field+"rated_V_ac", "the AC rating, which does not apply on a battery")
		c.Fail("%s: rated %s V AC only, which says nothing of what it opens on a battery", subject, rules.Figure(ac.Value))
	}
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if !d.Spare {
			eval(id, d.Path(), d.Path()+".", d.RatedVac, d.RatedVdc)
		}
	}
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		if !k.Spare {
			eval(id, k.Path(), k.Path()+".contact.", k.Contact.RatedVac, k.Contact.RatedVdc)
		}
	}
	for id, r := range schema.Sorted(p.Spec.Relays) {
		if !r.Spare {
			eval(id, r.Path(), r.Path()+".contact.", r.Contact.RatedVac, r.Contact.RatedVdc)
		}
	}
	for id, t := range schema.Sorted(p.Spec.Timers) {
		if !t.Spare {
			eval(id, t.Path(), t.Path()+".contact.", t.Contact.RatedVac, t.Contact.RatedVdc)
		}
	}
	for id, k := range schema.Sorted(p.Spec.Cutouts) {
		if !k.Spare {
			eval(id, k.Path(), k.Path()+".contact.", k.Contact.RatedVac, k.Contact.RatedVdc)
		}
	}
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		for pole, k := range schema.Sorted(sw.Poles) {
			if path := sw.Path() + ".poles." + pole; !sw.Spare {
				eval(id+"."+pole, path, path+".", k.RatedVac, k.RatedVdc)
			}
		}
	}
}
