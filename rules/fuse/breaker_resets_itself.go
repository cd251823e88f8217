package fuse

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func breakerResetsItself() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-resets-itself",
		Family: family,
		Title:  "a circuit breaker closes by itself on a fault, a lamp circuit or the drive",
		Why: "It has cooled, and closes on the short circuit again, every half minute until something burns; the drive starts again by itself while someone looks for the reason; " +
			"lamps that went out on a fault blink.",
		Relation: "reset is manual for a breaker in the traction circuit, before lamps, or before the coil of a contactor",
		Source:   "33 CFR 183.455 (manually reset, for boats); IEC 60204-1 (no restart by itself, from memory); physics: each closing heats the fault again",
		Level:    rules.Error,
		Vital:    []string{"breakers.reset"},
		Fix:      "use a breaker that is reset by hand",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.reset", Value: `"automatic"`}}},
		Check: eachBreaker(evalReset),
	}
}

func evalReset(s *supply, c *rules.Check, d breaker) {
	circuit := s.circuitOf(d)
	switch {
	case circuit == "":
		c.Holds(true, "%s is in no circuit of the drive and of no lamp", d.ID)
	case d.Reset == "":
		c.NotChecked(d.field("reset"), "%s, in %s: how it is reset is not stated", d.ID, circuit)
	default:
		c.GivenText("reset", "how it closes after a trip", d.Reset, d.field("reset"))
		c.Holds(d.Reset == "manual", "%s, in %s: after a trip it is closed %s", d.ID, circuit, map[string]string{"manual": "by hand", "automatic": "by itself, on the fault again"}[d.Reset])
	}
}

// circuitOf says in which circuit a breaker stands that must not close by itself; "" if
// in none.
func (s *supply) circuitOf(d breaker) string {
	if s.Circuit.OnTraction(d.ID) {
		return "the traction circuit"
	}
	lights := []string{"headlamp", "tail", "brake", "turn", "hazard"}
	for id, l := range schema.Sorted(s.Spec.Loads) {
		lamp := l.LoadKind == "led" || l.LoadKind == "filament" || slices.Contains(lights, l.Function)
		if lamp && s.guardsTerminal(d.ID, id+".pos") {
			return "the circuit of the lamp " + id
		}
	}
	for id := range schema.Sorted(s.Spec.Contactors) {
		if s.guardsTerminal(d.ID, id+".coil_pos") {
			return "the circuit of the coil of " + id
		}
	}
	return ""
}
