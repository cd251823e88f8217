package motor

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

const phaseShortedID = "phase-shorted"

func phaseShorted() *rules.Rule {
	return &rules.Rule{
		ID:     phaseShortedID,
		Family: family,
		Title:  "a phase of a motor is joined to a pole of the battery, to the chassis or to another phase",
		Why: "The controller switches each phase to plus and to minus in turn. With one phase cable on a pole, two windings lie across the whole battery " +
			"for as long as a transistor of another phase is on, and two phases on one terminal are a winding short-circuited: the current rises until the bridge is destroyed.",
		Relation: "no metal joins a phase of a motor to a pole of a battery or of a controller, to the chassis, or to another phase of it over what cannot open. A brushed motor may " +
			"have one end on a pole",
		Source: "circuit theory",
		Level:  rules.Error,
		Fix:    "connect each phase of the motor to a phase of its own at the controller, and to nothing else",
		Example: rules.Example{Vehicle: "mole", Subject: "motor", Edits: []rules.Edit{
			{Path: "wires.w_phase_w.from", Value: `"drive.pos"`}}},
		Check: checkPhaseShorted,
	}
}

func checkPhaseShorted(p *rules.Pass) {
	for id, m := range schema.Sorted(p.Spec.Motors) {
		if m.Spare {
			continue
		}
		c := p.Subject(id, m.Path())
		if p.Unsound(c, terminals(id, m)...) {
			continue
		}
		shorts := p.Circuit.PhaseShorts(id)
		if len(shorts) == 0 {
			c.Holds(true, "%s: no phase is joined to a pole, to the chassis or to another phase", id)
			continue
		}
		var list []string
		for _, s := range shorts {
			list = append(list, s.Phase+" is joined to "+s.To)
			relate(c, p, s)
		}
		c.Fail("%s: %s", id, strings.Join(list, ", "))
	}
}

// terminals names the terminals of a motor.
func terminals(id string, m *schema.Motor) (names []string) {
	for _, t := range m.Terminals() {
		names = append(names, id+"."+t.Name)
	}
	return names
}

// relate points to the conductors on a phase that is shorted.
func relate(c *rules.Check, p *rules.Pass, s circuit.PhaseShort) {
	v, _ := p.Circuit.Node(s.Phase)
	for _, e := range p.Circuit.ConductorsAt(v) {
		c.Related(p.Spec.Conductor(e.ID).Path(), "a conductor on "+s.Phase)
	}
}
