package contactor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func enableNotKeyed() *rules.Rule {
	return &rules.Rule{
		ID:     "enable-not-keyed",
		Family: family,
		Title:  "with the key off a controller's enable input is still fed",
		Why: "The enable input wakes the controller. Fed past the key it stays awake in the parked vehicle: it empties the battery, and on the day its " +
			"contactor is welded, a throttle that is touched moves the vehicle without a key.",
		Relation: "with every pole of the key open and everything else closed, no path of metal and diodes feeds the enable input",
		Source:   "common practice: the key takes both the coil and the logic supply, so that no single fault leaves the drive ready",
		Level:    rules.Warning,
		Varies:   "error where the controller's power is fed past the key too",
		Fix:      "feed the enable input from behind a pole of the key",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "wires.w_enable.from", Value: `"key.drive_a"`}}},
		Check: checkEnable,
	}
}

func checkEnable(p *rules.Pass) {
	key, found := newCutoff(p, "key", true)
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		enable := p.Circuit.Edge(id + ".enable")
		if k.Spare || enable == nil || !p.Circuit.Connected(id+".enable") {
			continue
		}
		c := p.Subject(id, k.Path())
		if p.Unsound(c, id+".enable", id+".neg") {
			continue
		}
		path := key.path(enable)
		switch {
		case !found:
			c.NotChecked("a switch with role: key", "no switch is declared to be the key, which should take the enable input of %s", id)
		case path == nil:
			c.Holds(true, "the key opens every feed of the enable input of %s", id)
		default:
			c.GivenText("path", "a feed without a key pole", names(path), k.Path())
			if odd := firstSwitching(path); odd != nil {
				c.Related(pathOf(p, odd), "in the feed that goes round the key")
			}
			if key.path(p.Circuit.Edge(id)) != nil {
				c.Level(rules.Error)
			}
			for _, d := range drives(p) {
				if !key.off[d.id] && slices.Contains(d.controllers(p), id) {
					c.Because("contactor-not-keyed", d.id)
				}
			}
			c.Fail("with the key off the enable input of %s is still fed by %s", id, partNames(path))
		}
	}
}
