package disconnect

import (
	"slices"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func disconnectSinglePole() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-single-pole",
		Family: family,
		Title:  "one pole of the pack stays connected to the vehicle with the disconnect open",
		Why: "Above 60 V the pole that is not opened puts every stud on it at the pack's potential. After one insulation fault at the pack " +
			"whoever works on the vehicle with the disconnect open is part of the circuit.",
		Relation: "above 60 V, the disconnects together open both poles of the pack, or the pole that they leave is bonded to the vehicle's metalwork",
		Source:   "ISO 6469-3 and UN R100/R136 for the 60 V; common practice",
		Level:    rules.Note,
		Fix:      "use a two-pole disconnect, or cover what the other pole is connected to and label it as staying at the pack's potential",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.poles", Value: "1"},
			{Path: "wires.w_shunt_isolator.to", Value: `"pack.neg"`},
			{Path: "wires.w_isolator_pack"}}},
		Check: check(evalSinglePole),
	}
}

func evalSinglePole(c *rules.Check, p *rules.Pass, d device) {
	v, ok := d.workingV(c, p, calc.ClassALimitV)
	if !ok {
		return
	}
	limit := c.Standard("V_A", "highest voltage of voltage class A", calc.ClassALimitV, "V", "ISO 6469-3, UN R100, UN R136")
	if v <= limit {
		c.Holds(true, "%s: up to %s V in its circuit, which is voltage class A; one pole is enough", d.ID, rules.Figure(v))
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
			c.Fail("the positive pole of %s, up to %s V from the other, is still connected to %s with every disconnect open", s.Name(), rules.Figure(v), counted(pos))
			return
		case neg > 0 && !(known && r.Neg[metal]):
			c.Fail("the negative pole of %s, up to %s V from the other, is still connected to %s with every disconnect open", s.Name(), rules.Figure(v), counted(neg))
			return
		}
	}
	c.Holds(true, "no pole of the pack, other than one bonded to the metalwork, is connected past the open disconnects")
}

// counted is a number of parts in words.
func counted(n int) string {
	if n == 1 {
		return "1 part"
	}
	return strconv.Itoa(n) + " parts"
}
