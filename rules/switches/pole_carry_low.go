package switches

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func poleCarryLow() *rules.Rule {
	return &rules.Rule{
		ID:     "pole-carry-low",
		Family: family,
		Title:  "the pole of a switch carries more than it is rated for",
		Why: "A switch has no cooling to speak of and no rating for short times. Above its rated current the spring anneals and the pole burns, " +
			"and the voltage of the lamps or the coil behind it drops.",
		Relation: "the greatest current of any mode that closes the pole <= carry_A; it also switches that current, so a short mode counts like a long one",
		Source:   "IEC 61058-1 (rated current of a switch); data sheet",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"switches.poles.carry_A", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a switch of the next rating, or let it switch a relay",
		Example: rules.Example{Vehicle: "heron", Subject: "light_switch.head", Edits: []rules.Edit{
			{Path: "switches.light_switch.poles.head.carry_A", Value: "1.5"}}},
		Check: check(evalPoleCarry),
	}
}

func evalPoleCarry(c *rules.Check, p *rules.Pass, k pole) {
	if !k.CarryA.Known {
		c.NotChecked(k.path("carry_A"), "%s: rated current is not given", k.id)
		return
	}
	list, ok := uses(c, p, k.id, k.set())
	if !ok {
		return
	}
	worst := demand.Greatest(list)
	c.In(worst.Mode.ID, worst.At.String())
	i := c.Solved("I", "current of "+k.id+" in mode "+worst.Mode.ID, math.Abs(worst.A), "A", worst.At.String())
	carry := c.Given("I_c", "rated current of "+k.id, k.CarryA.Value, "A", k.path("carry_A"))
	c.Fix("use a switch rated at least %s A, or let it switch a relay", rules.Figure(rules.RoundUp(p.Required()*i, 0.1)))
	c.AtMost(rules.Amperes(i), rules.Amperes(carry), "%s: %s A in mode %s, rated %s A", k.id, rules.Figure(i), worst.Mode.ID, rules.Figure(carry))
}
