package disconnect

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// separatingPlug is the battery connector that cuts off what a string of batteries feeds;
// nil without one.
func separatingPlug(p *rules.Pass, s circuit.SeriesString) *schema.Connector {
	fed, _, _ := reaching(p, s).consumers()
	for id, k := range schema.Sorted(p.Spec.Connectors) {
		if k.Use != "battery" || k.Spare {
			continue
		}
		if left, _, _ := reaching(p, s, id).consumers(); left < fed || s.DividedBy(p.Circuit, p.Circuit.PlugContacts(id)...) {
			return k
		}
	}
	return nil
}

// pluggable is the battery of a string that is stated to have a plug of its own, nil if
// none is.
func pluggable(p *rules.Pass, s circuit.SeriesString) *schema.Battery {
	for _, b := range s {
		if battery := p.Spec.Batteries[b.ID]; battery.Pluggable {
			return battery
		}
	}
	return nil
}

// evalPlug says whether a plug, a connector or one that is only stated, serves as the only
// disconnect: anybody can pull it by hand within seconds, whatever flows. So it must be
// made to break the current, or something that is must have opened before. What a
// connector breaks is held against the current by connector-parts-under-load.
func evalPlug(c *rules.Check, p *rules.Pass, s circuit.SeriesString) {
	k, name, stated := separatingPlug(p, s), "its plug", ""
	if k != nil {
		name, stated = k.ID, k.Path()
		c.Related(k.Path(), "the connector")
	} else {
		stated = pluggable(p, s).Path() + ".pluggable"
	}
	open := breaking(p)
	left := reaching(p, s, open...).powered()
	switch {
	case k != nil && k.Lock == "tool":
		c.Fail("%s: only %s separates it from what it feeds, and that takes a tool", s.Name(), name)
	case k != nil && (k.Pilot != nil || len(k.Breaks) > 0):
		c.Holds(true, "%s is disconnected by %s", s.Name(), name)
	case len(left) == 0:
		c.AsDeclared(stated, s.Name()+" has a plug that is pulled once "+rules.And(open)+" has opened")
		c.Holds(true, "%s is disconnected by %s, once %s has opened", s.Name(), name, rules.And(open))
	case k != nil && k.Breaks == nil:
		c.NotChecked(k.Path()+".breaks", "%s: only %s separates it from what it feeds; whether that may be parted under load is not given", s.Name(), name)
	default:
		c.Fix("put a disconnect that breaks the current of %s next to %s", left[0], s.Name())
		c.Fail("%s: nothing but %s separates it from %s; no part that is rated to break the current opens before", s.Name(), name, rules.And(left))
	}
}

// breaking lists the contactors that are rated to break a current.
func breaking(p *rules.Pass) (ids []string) {
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		if !k.Spare && len(k.Contact.Break) > 0 {
			ids = append(ids, id)
		}
	}
	return ids
}
