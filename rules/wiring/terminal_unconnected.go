package wiring

import (
	"strings"

	"example.org/headroom/rules"
)

func terminalUnconnected() *rules.Rule {
	return &rules.Rule{
		ID:     "terminal-unconnected",
		Family: family,
		Title:  "a terminal of a part is not connected",
		Why: "A part with an open terminal does not work, and nothing computed about its circuit means anything. " +
			"Mostly a conductor was renamed or forgotten.",
		Relation: "every terminal that the part needs to work is the end of a conductor",
		Source:   "completeness of the circuit diagram (IEC 61082-1)",
		Level:    rules.Error,
		Fix:      "add the missing conductor, correct the terminal name in the one that was meant, or set spare: true on the part",
		Example: rules.Example{Vehicle: "heron", Subject: "headlamp",
			Edits: []rules.Edit{{Path: "wires.w_head_pos"}}},
		Check: checkTerminalUnconnected,
	}
}

func checkTerminalUnconnected(p *rules.Pass) {
	// By the specification and not by the network, which leaves out a conductor
	// whose other end is on a part with a mistake.
	ends := map[string]bool{}
	for _, conductor := range p.Spec.Conductors() {
		ends[conductor.From], ends[conductor.To] = true, true
	}
	for id, part := range p.Spec.Parts() {
		base := part.Common()
		if base.Spare {
			continue
		}
		var free []string
		for _, t := range part.Terminals() {
			if name := id + "." + t.Name; !t.Optional && !ends[name] {
				free = append(free, name)
			}
		}
		c := p.Subject(id, base.Path())
		if len(free) == 0 {
			c.Holds(true, "%s: every terminal that it needs is connected", id)
			continue
		}
		if broken := p.BrokenConductors(); broken != "" {
			c.NotChecked(broken, "whether %s is connected depends on %s, which contains a mistake", strings.Join(free, ", "), broken)
			continue
		}
		if len(free) < len(part.Terminals()) {
			c.Fix("add the missing conductor, or correct the terminal name in the one that was meant; of a part that is not fitted remove the other conductors and set spare: true")
		}
		c.Fail("%s: nothing is connected to %s", id, strings.Join(free, ", "))
	}
}
