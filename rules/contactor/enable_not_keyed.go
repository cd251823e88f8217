package contactor

import (
	"maps"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func enableNotKeyed() *rules.Rule {
	return &rules.Rule{
		ID:     "enable-not-keyed",
		Family: family,
		Title:  "a controller's enable input is still fed with the key off",
		Why: "The enable input wakes the controller. If its feed bypasses the key it stays awake in the parked vehicle: it empties the battery, and on the day its " +
			"contactor is welded, a throttle that is touched moves the vehicle without a key.",
		Relation: "with every pole of the key open and everything else closed, no path of conductors, contacts and diodes feeds the enable input, even with one contact in its return welded; or the controller itself, where that input is not wired",
		Source:   "common practice: the key cuts both the coil and the logic supply, so that no single fault leaves the drive ready",
		Level:    rules.Warning,
		Varies:   "error where the controller's power supply bypasses the key too, or its enable input is not wired",
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
		switch {
		case k.Spare || enable == nil:
		case p.Circuit.Connected(enable.ID):
			evalEnable(p, key, found, k)
		case found && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg"):
			evalWithoutEnable(p, key, k)
		}
	}
}

func evalEnable(p *rules.Pass, key *cutoff, found bool, k *schema.Controller) {
	c := p.Subject(k.ID, k.Path())
	if p.Unsound(c, k.ID+".enable", k.ID+".neg") {
		return
	}
	enable := p.Circuit.Edge(k.ID + ".enable")
	path := key.path(enable)
	var welded *circuit.Edge
	if path == nil {
		path, welded = returnWelded(p, key, k, enable)
	}
	switch {
	case !found:
		c.NotChecked("a switch with role: key", "enable input of %s: no switch is declared as the key, which should cut it off", k.ID)
	case path == nil && key.reaches(enable):
		c.Holds(true, "the key opens the return of the enable input of %s; its positive side stays fed", k.ID)
	case path == nil:
		c.Holds(true, "the key opens every feed of the enable input of %s", k.ID)
	case welded != nil:
		pastKey(c, p, key, k, path)
		c.Related(pathOf(p, welded), "the only contact in its return")
		c.Fail("the positive side of the enable input of %s is still fed through %s with the key off; only the contact of %s, in its return, keeps it off", k.ID, partNames(path), welded.Part)
	default:
		if key.path(p.Circuit.Edge(k.ID)) != nil {
			c.Level(rules.Error)
		}
		pastKey(c, p, key, k, path)
		c.Fail("the enable input of %s is still fed through %s with the key off", k.ID, partNames(path))
	}
}

// returnWelded is how an enable input is fed past the key as soon as one contact
// of a contactor that the key opens is welded, where that is in the return:
// the key opens no feed of it then, and the rule is there for a welded contact.
func returnWelded(p *rules.Pass, key *cutoff, k *schema.Controller, enable *circuit.Edge) (path []*circuit.Edge, welded *circuit.Edge) {
	for _, d := range drives(p) {
		if !key.off[d.id] || !slices.Contains(d.ids, k.ID) {
			continue
		}
		closed := &cutoff{p: p, open: maps.Clone(key.open)}
		for _, e := range d.contacts {
			delete(closed.open, e.ID)
		}
		reached := false // the input, coming from the source
		path := closed.path(enable)
		for _, e := range path {
			reached = reached || e.From == enable.From || e.To == enable.From
			if reached && slices.Contains(d.contacts, e) {
				return path, e
			}
		}
	}
	return nil, nil
}

// evalWithoutEnable checks a controller whose enable input is not wired: its
// power supply is then all that can turn it off.
func evalWithoutEnable(p *rules.Pass, key *cutoff, k *schema.Controller) {
	c := p.Subject(k.ID, k.Path())
	if p.Unsound(c, k.ID+".pos", k.ID+".neg") {
		return
	}
	path := key.path(p.Circuit.Edge(k.ID))
	if path == nil {
		c.Holds(true, "the key opens every feed of %s, whose enable input is not wired", k.ID)
		return
	}
	pastKey(c, p, key, k, path)
	c.Level(rules.Error).Fix("feed %s through a contactor whose coil circuit the key opens, or wire its enable input from behind a pole of the key", k.ID)
	c.Fail("%s is not switched off by the key: its supply is still fed through %s and its enable input is not wired", k.ID, partNames(path))
}

// pastKey tells how a controller is fed past the key, and from which graver
// finding that follows, if from one.
func pastKey(c *rules.Check, p *rules.Pass, key *cutoff, k *schema.Controller, path []*circuit.Edge) {
	c.GivenText("path", "feed that bypasses the key", names(path), k.Path())
	if odd := firstSwitching(path); odd != nil {
		c.Related(pathOf(p, odd), "in the feed that bypasses the key")
	}
	for _, d := range drives(p) {
		if !key.off[d.id] && slices.Contains(d.ids, k.ID) {
			c.Because("contactor-not-keyed", d.id)
		}
	}
}
