package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func bondResistanceHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "bond-resistance-high",
		Family: family,
		Title:  "the bond of a metal case has too high a resistance",
		Why: "In a fault, the voltage between two bonded cases is the fault current times the resistance of their bonds. " +
			"A strap on paint or a rusty bolt is a bond on paper only.",
		Relation: "the resistance of the bonds from a case to the chassis, added up along the path, <= policy.bond_Ohm, for cases above 60 V DC; " +
			"it is measured with at least 0.2 A",
		Source:   "UN R100, 5.1.2.2 (0.1 Ohm at 0.2 A or more); UN R136 for light vehicles",
		Level:    rules.Error,
		Varies:   "warning where only a headroom that the policy asks for is missing",
		Required: 1,
		Policy:   []string{"policy.bond_Ohm"},
		Fix:      "clean both faces to bare metal, use a toothed washer and a strap of at least 6 mm2, and measure again",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "bonds.bond_drive.resistance_Ohm", Value: "0.4"}}},
		Check: checkBondResistances,
	}
}

func checkBondResistances(p *rules.Pass) {
	l := demand.For(p)
	for _, x := range cases(p, l) {
		chain, end := toChassis(p.Spec, x.id)
		if end != schema.Chassis {
			continue // bond-missing says so
		}
		evalBond(p.Subject(x.id, x.path), p, x, chain)
	}
}

func evalBond(c *rules.Check, p *rules.Pass, x exposed, chain []*schema.Bond) {
	var sum float64
	numbers := ""
	for i, b := range chain {
		c.Related(b.Path(), "the bond")
		if !b.ResistanceOhm.Known {
			c.NotChecked(b.Path()+".resistance_Ohm", "%s: the resistance of its bond is not given; measure it with at least %s A", b.Of, rules.Figure(bondTestA))
			return
		}
		if i > 0 {
			numbers += " + "
		}
		numbers += rules.Term(c.Given("R", "bond of "+b.Of+" to "+b.To, b.ResistanceOhm.Value, "Ohm", b.Path()+".resistance_Ohm"))
		sum += b.ResistanceOhm.Value
	}
	if len(chain) > 1 {
		c.Calc("R_sum", "from "+x.id+" to the chassis", "sum", numbers, sum, "Ohm")
	}
	limit := c.Default("R_max", "highest permitted resistance of a bond", p.Spec.Policy.BondOhm, "Ohm", "policy.bond_Ohm")
	if sum <= limit {
		c.Level(rules.Warning)
	}
	c.AtMost(rules.Quantity{Value: sum, Unit: "Ohm"}, rules.Quantity{Value: limit, Unit: "Ohm"},
		"%s: bond to the chassis %s Ohm, limit %s Ohm", x.id, rules.Figure(sum), rules.Figure(limit))
}

// bondTestA is the least current in A with which a bond is measured. Source: UN
// R100, 5.1.2.2.
const bondTestA = 0.2
