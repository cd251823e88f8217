package wiring

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func terminalUnconnected() *rules.Rule {
	return &rules.Rule{
		ID:     "terminal-unconnected",
		Family: family,
		Title:  "a terminal of a part is not connected",
		Why: "A part with an open terminal does not work, and nothing computed about its circuit means anything. " +
			"Mostly a conductor was renamed or forgotten.",
		Relation: "every terminal that the part needs to work is the end of a conductor; of a contact of a connector " +
			"either both terminals are or neither; on a block in use at least two conductors end; of a controller as many phases are connected as its motor has. " +
			"An inlet without a charger in the specification may have its cable's half free",
		Source: "completeness of the circuit diagram (IEC 61082-1)",
		Level:  rules.Error,
		Fix:    "add the missing conductor, correct the terminal name in the one that was meant, or set spare: true on the part",
		Example: rules.Example{Vehicle: "heron", Subject: "headlamp",
			Edits: []rules.Edit{{Path: "wires.w_head_pos"}}},
		Check: checkTerminalUnconnected,
	}
}

func checkTerminalUnconnected(p *rules.Pass) {
	for id, part := range p.Spec.Parts() {
		base := part.Common()
		if base.Spare {
			continue
		}
		u := p.Circuit.Unfinished(id)
		free := u.Free
		c := p.Subject(id, base.Path())
		if len(free) == 0 && u.Lone == "" {
			c.Holds(true, "%s: every terminal that it needs is connected", id)
			continue
		}
		if broken := p.BrokenConductors(); broken != "" {
			c.NotChecked(broken, "whether %s is connected depends on %s, which contains a mistake", id, broken)
			continue
		}
		if len(free) == 0 {
			c.Fix("connect what %s should join to that conductor, or remove %s and the conductor", id, id)
			c.Fail("%s: only one conductor ends on it, at %s, and leads no further", id, u.Lone)
			continue
		}
		if wrong, on := wrongPole(p, id, free); wrong != "" {
			c.Related(p.Spec.Conductor(wrong).Path(), "the conductor on the wrong pole")
			c.Fix("connect %s to %s instead of %s", wrong, free[0], on)
			c.Fail("%s: nothing is connected to %s; %s is on %s, but leads to the terminals that belong to %s", id, free[0], wrong, on, free[0])
			continue
		}
		if motor := shortedMotor(p, id); motor != "" {
			c.Because("phase-shorted", motor)
		}
		if len(free) < len(part.Terminals()) {
			c.Fix("add the missing conductor, or correct the terminal name in the one that was meant; of a part that is not fitted remove the other conductors and set spare: true")
		}
		c.Fail("%s: nothing is connected to %s", id, strings.Join(free, ", "))
	}
}

// shortedMotor is a motor of a controller that has a phase elsewhere than on a phase of the
// controller, which is then free; "" if there is none.
func shortedMotor(p *rules.Pass, controller string) string {
	for id, m := range schema.Sorted(p.Spec.Motors) {
		if !m.Spare && p.Circuit.DrivenBy(id) == controller && len(p.Circuit.PhaseShorts(id)) > 0 {
			return id
		}
	}
	return ""
}

// wrongPole names the conductor that is on one pole of a battery and belongs on the
// other, which is free: of several at that pole the only one that leads to
// consumers' terminals of the other polarity, and to none of its own.
func wrongPole(p *rules.Pass, battery string, free []string) (conductor, on string) {
	if p.Spec.Batteries[battery] == nil || len(free) != 1 {
		return "", ""
	}
	positive := free[0] == battery+".pos"
	on = battery + ".pos"
	if positive {
		on = battery + ".neg"
	}
	v, ok := p.Circuit.Node(on)
	if !ok {
		return "", ""
	}
	elsewhere := circuit.Without(circuit.AllClosed, p.Circuit.EdgesAt(v)...)
	for id, c := range p.Spec.Conductors() {
		far, ok := p.Circuit.Node(c.To)
		if c.To == on {
			far, ok = p.Circuit.Node(c.From)
		}
		if !ok || c.From != on && c.To != on {
			continue
		}
		reached := p.Circuit.Reach(elsewhere, far)
		belongs, others := 0, 0
		for _, x := range p.Circuit.Edges {
			if !consumes(x) || x.Kind == circuit.MeterEdge { // whose sense leads go anywhere
				continue
			}
			plus, minus := reached.Has(x.From), reached.Has(x.To)
			if !positive {
				plus, minus = minus, plus
			}
			if plus {
				belongs++
			}
			if minus {
				others++
			}
		}
		switch {
		case belongs == 0 || others > 0:
		case conductor != "":
			return "", "" // several: one of them says nothing
		default:
			conductor = id
		}
	}
	return conductor, on
}

// consumes reports whether an element takes current from a supply, with a polarity.
func consumes(e *circuit.Edge) bool {
	switch e.Kind {
	case circuit.ControllerEdge, circuit.ConverterInput, circuit.LoadEdge, circuit.CoilEdge, circuit.ChargerEdge, circuit.MeterEdge:
		return true
	}
	return false
}
