// Package bms holds the rules about the transistors in a pack that switch it off: what
// they carry and interrupt, what makes them switch off at the wrong moment, what flows
// through them when they are off, and what wakes them again. They are no fuse, no
// disconnect and no emergency stop: the rules about those count none of them.
package bms

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// family is what the rules of this package belong to.
const family = "bms"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		overloaded(),
		breakLow(),
		startTrips(),
		diodeHot(),
		chargePortLoaded(),
		staysAsleep(),
	}
}

// each starts a check of every battery that has such a switch and whose circuit can be
// computed.
func each(p *rules.Pass, eval func(*rules.Check, *schema.Battery)) {
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Spare || b.BMS == nil || !p.Circuit.Connected(id+".pos") {
			continue
		}
		c := p.Subject(id, b.Path())
		if !p.Unsound(c, id+".pos", id+".neg") {
			eval(c, b)
		}
	}
}

// whole is the string in which a battery stands: it alone, or with those in series.
func whole(p *rules.Pass, b *schema.Battery) circuit.SeriesString {
	all := p.Circuit.Strings()
	return all[slices.IndexFunc(all, func(s circuit.SeriesString) bool { return s.Has(b.ID) })]
}

// field is the path of a field of a battery's switch.
func field(b *schema.Battery, name string) string { return b.Path() + ".bms." + name }
