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

// evalPlug says whether a connector serves as the only disconnect: anybody can pull it by
// hand within seconds, whatever flows. What it breaks is held against the current by
// connector-parts-under-load.
func evalPlug(c *rules.Check, s circuit.SeriesString, k *schema.Connector) {
	c.Related(k.Path(), "the connector")
	switch {
	case k.Lock == "tool":
		c.Fail("%s: only %s separates it from what it feeds, and that takes a tool", s.Name(), k.ID)
	case k.Pilot != nil || len(k.Breaks) > 0:
		c.Holds(true, "%s is disconnected by %s", s.Name(), k.ID)
	case k.Breaks == nil:
		c.NotChecked(k.Path()+".breaks", "%s: only %s separates it from what it feeds; whether that may be parted under load is not given", s.Name(), k.ID)
	default:
		c.Fail("%s: only %s separates it from what it feeds, and that must not be parted under load", s.Name(), k.ID)
	}
}
