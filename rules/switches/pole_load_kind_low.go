package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

const poleLoadKindLowID = "pole-load-kind-low"

func poleLoadKindLow() *rules.Rule {
	return &rules.Rule{
		ID:     poleLoadKindLowID,
		Family: family,
		Title:  "the pole of a switch is too small for the kind of load that it switches",
		Why: "The current printed on a switch is for resistive loads. A filament lamp closes on ten times its current and welds the contacts; " +
			"a motor or a coil opens with an arc that burns them. The switch works for a month.",
		Relation: "sum over the kinds of i / I <= 1, with I lamp_A, motor_A or inductive_A of the pole, " +
			"or without them policy.contact_lamp_percent, contact_motor_percent or contact_inductive_percent of carry_A, and carry_A for everything else",
		Source: "relay and switch application notes for the shares (inductive loads and motors from memory); adding up shares is common practice",
		Level:  rules.Warning,
		Varies: "error where the pole's own rating for the kind of load is exceeded, not a share of carry_A that stands in for it, and for what cuts off " +
			"the coil of a contactor or an enable input: welded, it no longer does",
		Required: 1,
		Policy:   []string{"policy.contact_lamp_percent", "policy.contact_motor_percent", "policy.contact_inductive_percent"},
		Vital:    []string{"switches.poles.carry_A"},
		Fix:      "use a switch rated for the kind of load, or let it switch a relay that is",
		Example: rules.Example{Vehicle: "heron", Subject: "turn_switch.turn", Edits: []rules.Edit{
			{Path: "switches.turn_switch.poles.turn.lamp_A", Value: "3"}}},
		Check: check(func(c *rules.Check, p *rules.Pass, k pole) {
			graver(c, p, k.sw.ID)
			evalKinds(c, p, k.id, k.set(), k.CarryA, k.limits(p))
		}),
	}
}

// limits is what the pole is rated for by kind of load.
func (k pole) limits(p *rules.Pass) [inductive + 1]limit {
	return limitsOf(p, k.CarryA, [...]schema.Number{lamp: k.LampA, motor: k.MotorA, inductive: k.InductiveA}, k.path)
}
