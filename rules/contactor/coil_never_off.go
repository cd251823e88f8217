package contactor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func coilNeverOff() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-never-off",
		Family: family,
		Title:  "a coil is wired to a battery for good",
		Why: "A relay whose coil nothing switches is in from the day it is fitted. What it was to switch is always on, " +
			"a pre-charge resistor among it, and its coil empties the battery in a week or two.",
		Relation: "with every switch, disconnect, contact and coil driver open, no path of conductors, fuses and diodes feeds the coil. " +
			"A relay that is declared always_live is meant to be in",
		Source: "circuit theory, common practice",
		Level:  rules.Error,
		Varies: "warning where its contacts stand in no network of a traction battery",
		Fix:    "route the feed of the coil through the switch that it is to follow",
		Example: rules.Example{Vehicle: "heron", Subject: "soft_relay", Edits: []rules.Edit{
			{Path: "wires.w_coil_relay.from", Value: `"house_plus.stud"`}}},
		Check: checkNeverOff,
	}
}

func checkNeverOff(p *rules.Pass) {
	all := devices(p)
	if len(all) == 0 {
		return
	}
	rest := restCutoff(p)
	driving := drives(p)
	for _, d := range all {
		c, ok := onCoil(p, d)
		if !ok {
			continue
		}
		path := rest.path(p.Circuit.Edge(d.coilID()))
		switch {
		case path == nil:
			c.Holds(true, "something opens every feed of the coil of %s", d.id)
		case d.base.AlwaysLive && !d.power:
			c.AsDeclared(d.base.Path()+".always_live", d.id+" is meant to be in for good").
				Holds(true, "the coil of %s is fed for good, as declared by always_live", d.id)
		default:
			c.GivenText("path", "feed that nothing opens", names(path), d.base.Path())
			for _, k := range driving {
				if slices.ContainsFunc(d.parallel(p), func(other device) bool { return other.id == k.id }) {
					c.Because("contactor-not-keyed", k.id) // one feed for both coils
				}
			}
			if !d.switchesTraction(p) {
				c.Level(rules.Warning)
			}
			c.Fail("the coil of %s is fed through %s for good: nothing switches it off", d.id, partNames(path))
		}
	}
}

// switchesTraction reports whether a device's contacts stand in the network of a
// traction battery.
func (d device) switchesTraction(p *rules.Pass) bool {
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Role == "traction" && slices.ContainsFunc(d.contacts, func(e *circuit.Edge) bool {
			return p.Circuit.SameNetwork(e.From, p.Circuit.Edge(id).From)
		}) {
			return true
		}
	}
	return false
}
