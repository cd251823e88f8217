package record

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func partUnused() *rules.Rule {
	return &rules.Rule{
		ID:     "part-unused",
		Family: family,
		Title:  "a part is connected to nothing or used in no mode",
		Why: "Of a part that no mode uses only its ratings are known, not how it is used: for how long, together with what, and in which air. " +
			"Mostly it is a lamp or charger that was added to the parts and forgotten in the modes.",
		Relation: "a part has a conductor on a terminal; a load is on, a controller draws or feeds back, a charger is connected, " +
			"a switch or disconnect is closed in at least one mode",
		Source: "completeness of the record; common practice",
		Level:  rules.Note,
		Varies: "warning for a controller, a charger or a consumer that is wired: what it draws is taken from its ratings alone",
		Fix:    "add it to the modes in which it is used; if it is not fitted remove its conductors and mark it spare: true",
		Example: rules.Example{Vehicle: "heron", Subject: "horn_spare", Edits: []rules.Edit{
			{Path: "switches.horn_spare", Value: `{"poles": {"horn": {"carry_A": 10, "rated_V_dc": 28}}, "source": "sheet"}`}}},
		Check: checkPartUnused,
	}
}

func checkPartUnused(p *rules.Pass) {
	u := usage(p.Spec)
	for id, part := range p.Spec.Parts() {
		base := part.Common()
		if base.Spare {
			continue
		}
		c := p.Subject(id, base.Path())
		broken := brokenIn(p.Spec, "wires.", "busbars.", "modes.")
		switch idle := u.idle(id, part); {
		case idle == "":
			c.Holds(true, "%s is connected and used", id)
		case broken != "":
			c.NotChecked(broken, "whether %s is used depends on %s, which holds a mistake", id, broken)
		default:
			c.Fix("%s", fixUnused(id, part, u.joined[id] > 0))
			switch part.(type) {
			case *schema.Load, *schema.Controller, *schema.Charger:
				if u.joined[id] > 0 {
					c.Level(rules.Warning)
				}
			}
			c.Fail("%s %s", id, idle)
		}
	}
}

// fixUnused says where a part belongs. One that is wired is no spare: that would be
// another finding.
func fixUnused(id string, part schema.Part, wired bool) string {
	if !wired {
		return "connect " + id + ", remove it, or mark it spare: true"
	}
	field := "closed"
	switch part.(type) {
	case *schema.Load:
		field = "on"
	case *schema.Controller:
		field = "draw"
	case *schema.Charger:
		field = "connected"
	}
	return "add " + id + " to " + field + " of the modes in which it is used; of a part that is not fitted remove the conductors and mark it spare: true"
}

// brokenIn is the first path under one of the prefixes that holds a mistake.
func brokenIn(s *schema.Spec, prefixes ...string) string {
	for _, path := range s.Broken() {
		if slices.ContainsFunc(prefixes, func(prefix string) bool { return strings.HasPrefix(path, prefix) }) {
			return path
		}
	}
	return ""
}

// used is what conductors and modes use of a spec, by part id.
type used struct {
	modes                        int
	joined                       map[string]int // conductor ends
	on, drawn, connected, closed map[string]bool
	wired                        map[string]bool // by terminal
}

func usage(s *schema.Spec) used {
	u := used{modes: len(s.Modes), joined: map[string]int{}, on: map[string]bool{}, drawn: map[string]bool{},
		connected: map[string]bool{}, closed: map[string]bool{}, wired: map[string]bool{}}
	for _, c := range s.Conductors() {
		for _, end := range []string{c.From, c.To} {
			id, _, _ := strings.Cut(end, ".")
			u.joined[id]++
			u.wired[end] = true
		}
	}
	for _, m := range s.Modes {
		for _, id := range m.On {
			u.on[id] = true
		}
		for id := range m.Draw {
			u.drawn[id] = true
		}
		for _, id := range m.Connected {
			u.connected[id] = true
		}
		for _, id := range m.Closed {
			part, _, _ := strings.Cut(id, ".")
			u.closed[part] = true
		}
	}
	return u
}

// idle says why nothing uses a part; "" if something does.
func (u used) idle(id string, part schema.Part) string {
	if u.joined[id] == 0 {
		// A part that needs its terminals is terminal-unconnected's.
		if slices.ContainsFunc(part.Terminals(), func(t schema.Terminal) bool { return !t.Optional }) {
			if _, joint := part.(*schema.Stud); !joint {
				return ""
			}
		}
		return "is connected to nothing"
	}
	if u.modes == 0 {
		return ""
	}
	switch part.(type) {
	case *schema.Load:
		if !u.on[id] {
			return "is on in no mode, so it is not known how long it is on and with what"
		}
	case *schema.Controller:
		if !u.drawn[id] {
			return "draws in no mode, so it is not known how much and for how long"
		}
	case *schema.Charger:
		if !u.connected[id] {
			return "is connected in no mode, so it is not known with what else it charges"
		}
	case *schema.Disconnect, *schema.Breaker:
		if !u.closed[id] {
			return "is closed in no mode, so nothing that it feeds is checked in use"
		}
	case *schema.Switch:
		if !u.closed[id] {
			return "is closed in no mode, so nothing that it switches is checked in use"
		}
	}
	return ""
}
