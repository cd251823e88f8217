package fuse

import "example.org/headroom/rules"

func breakerSupplementary() *rules.Rule {
	return &rules.Rule{
		ID:       "breaker-supplementary",
		Family:   family,
		Title:    "a supplementary protector is the only protection of a circuit",
		Why:      "UL 1077 and IEC 60934 are standards for protectors inside equipment: they are tested with a fuse or a real breaker before them, and their short-circuit figure is that of the pair.",
		Relation: "before a breaker of UL 1077 or IEC 60934 there is a fuse or a breaker of another standard",
		Source:   "UL 1077 (supplementary protectors) in public summaries; common practice",
		Level:    rules.Warning,
		Fix:      "put a fuse, or a breaker of IEC 60898, IEC 60947-2 or UL 489, before it",
		Example: rules.Example{Vehicle: "mole", Subject: "main_breaker", Edits: []rules.Edit{
			{Path: "breakers.main_breaker", Value: `{"kind": "thermal", "standard": "UL 1077", "rated_A": 150, "trip_free": true, "reset": "manual"}`},
			{Path: "fuses.main.spare", Value: "true"},
			{Path: "wires.w_pack_fuse.to", Value: `"main_breaker.a"`},
			{Path: "wires.w_fuse_isolator.from", Value: `"main_breaker.b"`}}},
		Check: eachBreaker(evalSupplementary),
	}
}

func evalSupplementary(s *supply, c *rules.Check, d breaker) {
	if d.Standard != "UL 1077" && d.Standard != "IEC 60934" {
		c.Holds(true, "%s is no supplementary protector", d.ID)
		return
	}
	c.GivenText("standard", "standard of "+d.ID, d.Standard, d.field("standard"))
	source := s.mainOf(d.ID)
	c.Holds(source == "", "%s, a supplementary protector of %s: %s", d.ID, d.Standard, map[bool]string{true: "another device is before it", false: "nothing else protects it against " + source}[source == ""])
}
