package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func chargerUnfused() *rules.Rule {
	return &rules.Rule{
		ID:     "charger-unfused",
		Family: family,
		Title:  "no fuse at the battery's end of a charger's cable",
		Why: "A charger limits its own current, so its cable is often run without a fuse. The battery at the other end does not: a crushed inlet " +
			"or a shorted output stage of the charger is fed by the whole pack, through a thin cable, while nobody watches.",
		Relation: "the loop from the battery through the charger's cable holds a fuse, in either pole, within the allowed length from the battery",
		Source:   "common practice; distances as in conductor-unprotected",
		Level:    rules.Error,
		Policy:   []string{"policy.fuse_distance_m", "policy.fuse_distance_sheathed_m", "policy.fuse_distance_at_battery_m"},
		Fix:      "fit a fuse for the charger's cable at its battery end",
		Example: rules.Example{Vehicle: "mole", Subject: "charger", Edits: []rules.Edit{
			{Path: "wires.w_charge_pos.from", Value: `"pack.pos"`}}},
		Check: checkChargerFuse,
	}
}

func checkChargerFuse(p *rules.Pass) {
	for _, ch := range chargers(p) {
		c := p.Subject(ch.ID, ch.Path())
		if p.Unsound(c, ch.ID+".pos", ch.ID+".neg") {
			continue
		}
		list := charged(p, ch)
		if len(list) == 0 {
			c.NotChecked("a battery that "+ch.ID+" charges", "%s is not connected to a battery at both poles", ch.ID)
			continue
		}
		for i, s := range list {
			found := fuseBefore(p, s, p.Circuit.Edge(ch.ID))
			if !found.ok || i == len(list)-1 {
				reportChargerFuse(c, ch.ID, s, found)
				break
			}
		}
	}
}

// protection is how the battery's end of a charger's cable is protected.
type protection struct {
	ok   bool
	by   string // the fuse
	bare string // the conductor before it that is too long to go without
}

// fuseBefore looks for the fuse that protects the cable of a charger against a
// string.
func fuseBefore(p *rules.Pass, s circuit.SeriesString, charger *circuit.Edge) protection {
	for _, b := range s {
		if b.InternalFuseA > 0 {
			return protection{ok: true, by: "the internal fuse of " + b.ID}
		}
	}
	// One fuse in the loop is enough. The positive side is looked at first.
	var found protection
	for _, way := range [][2]circuit.Node{{s.Pos(), charger.From}, {s.Neg(), charger.To}} {
		side := alongWay(p, s, p.Circuit.Path(way[0], way[1], throughDiodes))
		if side.ok {
			return side
		}
		if found.by == "" && found.bare == "" {
			found = side
		}
	}
	return found
}

// throughDiodes is a cost for a path over metal and diodes in either direction:
// a charger's diode keeps the battery from the charger only until it fails.
func throughDiodes(e *circuit.Edge, _ circuit.Node) (float64, bool) {
	return 1, e.Conducts() || e.Kind == circuit.DiodeEdge
}

// alongWay follows the way from a battery to a charger: ok if it comes to a fuse
// before a conductor that is too long to go without one.
func alongWay(p *rules.Pass, s circuit.SeriesString, way []*circuit.Edge) (found protection) {
	guards := p.Circuit.Guards()
	for _, e := range way {
		if e.Protects() {
			found.ok = found.bare == ""
			found.by = smallestFuse(p.Circuit, way)
			return found
		}
		for _, g := range guards[e.ID] {
			if found.bare == "" && s.Has(g.Source.ID) && g.Exposed && !g.WithinDistance() && len(g.Fuses) == 0 {
				found.bare = e.ID
			}
		}
	}
	return found
}

// smallestFuse is the fuse of least rating on a way: the one that opens first.
func smallestFuse(n *circuit.Network, way []*circuit.Edge) (id string) {
	for _, e := range way {
		if e.Protects() && (id == "" || n.Device(e.Part).RatedA < n.Device(id).RatedA) {
			id = e.Part
		}
	}
	return id
}

func reportChargerFuse(c *rules.Check, id string, s circuit.SeriesString, found protection) {
	if found.bare != "" {
		c.Because("conductor-unprotected", found.bare)
	}
	switch {
	case found.ok:
		c.Holds(true, "%s protects the cable of %s against %s", found.by, id, s.Name())
	case found.by != "":
		c.Related("fuses."+found.by, "the fuse, at the far end of "+found.bare)
		c.Fix("move %s to the battery end of the cable", found.by)
		c.Fail("%s: its only fuse, %s, is at the far end of %s; the cable up to it is not protected against %s",
			id, found.by, found.bare, s.Name())
	default:
		c.Fail("%s: no fuse between it and %s; the battery feeds a short circuit of its cable or inside it", id, s.Name())
	}
}
