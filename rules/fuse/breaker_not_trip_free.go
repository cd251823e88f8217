package fuse

import (
	"slices"

	"example.org/headroom/rules"
)

func breakerNotTripFree() *rules.Rule {
	return &rules.Rule{
		ID:       "breaker-not-trip-free",
		Family:   family,
		Title:    "the main circuit breaker of a battery can be held closed on a fault",
		Why:      "Someone holds the lever up because it keeps falling. A breaker that is not trip-free then stays closed, and the cable is the fuse.",
		Relation: "a breaker that is the first protection behind a battery is trip_free",
		Source:   "33 CFR 183.455 (trip-free, for boats); common practice elsewhere",
		Level:    rules.Error,
		Vital:    []string{"breakers.trip_free"},
		Fix:      "use a breaker that is marked trip-free",
		Example: rules.Example{Vehicle: "mole", Subject: "main_breaker", Edits: []rules.Edit{
			{Path: "breakers.main_breaker", Value: `{"kind": "thermal", "standard": "IEC 60947-2", "rated_A": 150, "trip_free": false, "reset": "manual"}`},
			{Path: "fuses.main.spare", Value: "true"},
			{Path: "wires.w_pack_fuse.to", Value: `"main_breaker.a"`},
			{Path: "wires.w_fuse_isolator.from", Value: `"main_breaker.b"`}}},
		Check: eachBreaker(evalTripFree),
	}
}

func evalTripFree(s *supply, c *rules.Check, d breaker) {
	source := s.mainOf(d.ID)
	switch {
	case source == "":
		c.Holds(true, "%s is the main device of no battery", d.ID)
	case d.TripFree == nil:
		c.NotChecked(d.field("trip_free"), "%s, the main device of %s: whether it trips while its lever is held is not stated", d.ID, source)
	default:
		c.AsDeclared(d.field("trip_free"), "it trips even while its lever is held")
		c.Holds(*d.TripFree, "%s, the main device of %s: trips while its lever is held: %v", d.ID, source, map[bool]string{true: "yes", false: "no"}[*d.TripFree])
	}
}

// mainOf is the battery of which a device is the first protection: no other is between
// them; "" if it is that of none.
func (s *supply) mainOf(id string) string {
	for _, f := range s.feeds(id) {
		if !f.IsBattery() || !s.behindNone(id, f) {
			continue
		}
		return f.ID
	}
	return ""
}

// behindNone reports whether no device is before another on the way from a source.
func (s *supply) behindNone(id string, f feed) bool {
	e := s.Circuit.Edge(id)
	for _, x := range slices.Concat(s.Circuit.EdgesAt(e.From), s.Circuit.EdgesAt(e.To)) {
		for _, g := range s.guards[x.ID] {
			if g.Source.ID == f.ID && g.Side == f.side && !slices.Contains(g.Fuses, id) {
				return len(g.Fuses) == 0
			}
		}
	}
	return false
}
