package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func contactorNotKeyed() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-not-keyed",
		Family: family,
		Title:  "the key does not open the main contactor's coil circuit",
		Why: "Whoever takes the key out trusts that the drive is dead. A coil with a feed that bypasses the key stays energised, " +
			"and the controller with it.",
		Relation: "with every pole of every key switch open and everything else closed, no path of conductors, contacts and diodes feeds the coil; " +
			"a relay whose own coil is so cut off counts as open, and so does the coil driver of a controller that has lost its logic supply; " +
			"or the controller behind the contact has lost its supply all the same. Without a switch of the role key " +
			"some other switch by hand must open the feed, and it is not known whether that is the key; a service disconnect is none: it is not opened under way",
		Source: "common practice; for road vehicles in the spirit of UN R100/R136 (deactivation of the drive by the driver)",
		Level:  rules.Error,
		Fix:    "route the coil's feed, or that of the relay ahead of it, through a pole of the key",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "wires.w_coil_stop.from", Value: `"key.house_a"`}}},
		Check: checkNotKeyed,
	}
}

func checkNotKeyed(p *rules.Pass) {
	key, found := newCutoff(p, "key", true)
	byHand := handCutoff(p)
	for _, d := range drives(p) {
		c, ok := onCoil(p, d.device)
		switch {
		case !ok:
		case !found && !byHand.off[d.id] && !byHand.cutsAll(d.ids):
			path := byHand.path(p.Circuit.Edge(d.id + ".coil"))
			c.GivenText("path", "feed that no switch opens", names(path), d.base.Path())
			c.Fix("fit a key switch, and route the feed of the coil through it")
			c.Fail("no key: the coil of %s is fed through %s as soon as the battery is connected", d.id, partNames(path))
		case !found:
			c.NotChecked("a switch with role: key", "coil of %s: no switch is declared as the key, which should open its circuit", d.id)
		case key.off[d.id]:
			c.Holds(true, "the key opens every feed of the coil of %s", d.id)
		case key.cutsAll(d.ids):
			c.Holds(true, "another contact that the key opens cuts the supply of what %s feeds", d.id)
		default:
			path := key.path(p.Circuit.Edge(d.id + ".coil"))
			c.GivenText("path", "feed that bypasses the key", names(path), d.base.Path())
			if odd := firstSwitching(path); odd != nil {
				c.Related(pathOf(p, odd), "in the feed that bypasses the key")
			}
			if d.staysIn(p) {
				c.Because("coil-self-holding", d.id)
			}
			c.Fail("the coil of %s is still fed through %s with the key off", d.id, partNames(path))
		}
	}
}

// firstSwitching returns the first contact, switch or diode of a path, nil if
// there is none.
func firstSwitching(path []*circuit.Edge) *circuit.Edge {
	for _, e := range path {
		switch e.Kind {
		case circuit.SwitchEdge, circuit.ContactEdge, circuit.DiodeEdge:
			return e
		}
	}
	return nil
}
