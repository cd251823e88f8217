package disconnect

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func disconnectSinglePole() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-single-pole",
		Family: family,
		Title:  "with the disconnect open one pole of the pack still reaches into the vehicle",
		Why: "Above 60 V the pole that is not cut carries the pack's potential to every stud on it. One fault of insulation at the pack, " +
			"and whoever works on the vehicle with the disconnect open stands in the circuit.",
		Relation: "above 60 V, the disconnects together cut both poles of the pack, or the pole that they leave is joined to the vehicle's metalwork",
		Source:   "ISO 6469-3 and UN R100/R136 for the 60 V; common practice",
		Level:    rules.Note,
		Fix:      "use a two-pole disconnect, or cover what the other pole reaches and say on the vehicle that it stays at the pack's potential",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.poles", Value: "1"},
			{Path: "wires.w_shunt_isolator.to", Value: `"pack.neg"`},
			{Path: "wires.w_isolator_pack"}}},
		Check: check(judgeSinglePole),
	}
}

func judgeSinglePole(c *rules.Check, p *rules.Pass, d device) {
	v, ok := d.workingV(c, p, calc.ClassALimitV)
	if !ok {
		return
	}
	limit := c.Standard("V_A", "highest voltage of voltage class A", calc.ClassALimitV, "V", "ISO 6469-3, UN R100, UN R136")
	if v <= limit {
		c.Holds(true, "the circuit of %s reaches %s V, which is voltage class A: one pole is enough", d.ID, rules.Figure(v))
		return
	}
	for _, s := range p.Circuit.Strings() {
		by, _ := separators(p, s)
		if !slices.Contains(by, d.ID) {
			continue
		}
		r := reaching(p, s, fitted(p)...)
		_, pos, neg := r.consumers()
		metal, known := p.Circuit.Node(schema.Chassis)
		switch {
		case pos > 0 && neg > 0:
			// Something stays live across both, which is another finding.
		case pos > 0 && !(known && r.Pos[metal]):
			c.Fail("with every disconnect open the positive pole of %s, up to %s V from the other, still reaches %d parts", s.Name(), rules.Figure(v), pos)
			return
		case neg > 0 && !(known && r.Neg[metal]):
			c.Fail("with every disconnect open the negative pole of %s, up to %s V from the other, still reaches %d parts", s.Name(), rules.Figure(v), neg)
			return
		}
	}
	c.Holds(true, "no pole of the pack that is not the metalwork's reaches past the open disconnects")
}
