package controller

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func regenerationBlocked() *rules.Rule {
	return &rules.Rule{
		ID:     "regeneration-blocked",
		Family: family,
		Title:  "the current that a controller feeds back cannot reach a battery",
		Why: "With a diode, an open contactor or an open disconnect in its way the braking current has nowhere to go. The voltage jumps to the " +
			"controller's limit, the brake fails when the driver relies on it, and what stays connected is exposed to that voltage.",
		Relation: "in every mode that regenerates the controller's supply stays below its max_V and the current reaches the batteries: " +
			"fed back >= 90 % of what the mode says",
		Source:   "circuit theory",
		Level:    rules.Error,
		Required: 1,
		Fix:      "close every contact between controller and battery in that mode, remove the diode between them, or switch regeneration off",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "modes.downhill.closed", Value: `["isolator", "stop", "brake_switch"]`}}},
		Check: checkRegenerationBlocked,
	}
}

// fedBackShare is the part of the current that must reach a battery; the rest is
// the tolerance of the controller's own limit of voltage.
const fedBackShare = 0.9

func checkRegenerationBlocked(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		var worst *circuit.Solution
		var asked, fed float64
		for id, m := range schema.Sorted(p.Spec.Modes) {
			draw := m.Draw[d.ID]
			if draw == nil || draw.RegenA.Or(0) == 0 {
				continue
			}
			s := p.Circuit.Solve(circuit.Case{Mode: id})
			if c.Unsettled(s, d.edge.ID) {
				return
			}
			back := max(0, -s.Current(d.ID))
			if worst == nil || back*asked < fed*draw.RegenA.Value {
				worst, asked, fed = s, draw.RegenA.Value, back
			}
		}
		if worst == nil {
			c.Holds(true, "%s feeds nothing back in any mode", d.ID)
			return
		}
		if !slices.ContainsFunc(d.strings, func(s circuit.SeriesString) bool { return p.Circuit.FedBy(worst, s, d.edge) }) {
			c.Because(controllerUndervoltageID, d.ID) // a contact on its way is open
		}
		mode := worst.Case.Mode
		c.In(mode, worst.Case.String())
		c.Given("I_regen", "current fed back in mode "+mode, asked, "A", "modes."+mode+".draw."+d.ID+".regen_A")
		c.Solved("I", "current that reaches a battery", fed, "A", worst.Case.String())
		c.Solved("V", "voltage at "+d.ID, d.terminalV(worst), "V", worst.Case.String())
		need := c.Calc("I_min", "least that must reach a battery", "0.9 I_regen", rules.Term(fedBackShare)+" * "+rules.Term(asked), fedBackShare*asked, "A")
		c.AtLeast(rules.Amperes(need), rules.Amperes(fed), "%s: feeds back %s A in mode %s, of which %s A reach a battery", d.ID, rules.Figure(asked), mode, rules.Figure(fed))
	})
}
