package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// labelV is what every road-vehicle cable is made for, in V DC, whatever its
// print says: the lower of the two classes of ISO 19642 (of 2019, which supersedes ISO 6722-1).
const labelV = 60

const insulationVoltageLowID = "insulation-voltage-low"

func insulationVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     insulationVoltageLowID,
		Family: family,
		Title:  "the insulation of a wire is rated below the voltage of its network",
		Why: "Thin-wall 60 V insulation withstands a rub, a pinch or a damp connector at 12 V for years. At pack voltage the same spot tracks, " +
			"carbonises and burns, fed by a battery that does not stop.",
		Relation: "insulation.rated_V >= the highest working voltage of the sources that feed the wire or that it returns to: end of charge, charger, regeneration. " +
			"A wire without a rating counts as a vehicle cable of 60 V up to that voltage",
		Source:   "ISO 19642-3 and -5 (60 V and 600 V cables; ISO 6722-1 before 2019, from memory), ISO 6469-3:2021 (working voltage)",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"wires.insulation.rated_V"},
		Fix:      "use cable whose insulation is rated for the pack's highest voltage, usually 600 V",
		Example: rules.Example{Vehicle: "heron", Subject: "w_enable", Edits: []rules.Edit{
			{Path: "wires.w_enable.insulation.rated_V", Value: "60"}}},
		Check: checkInsulation,
	}
}

// wires yields the wired wires, each with a check in the making.
func wires(p *rules.Pass, eval func(c *rules.Check, w *schema.Wire)) {
	for id, w := range schema.Sorted(p.Spec.Wires) {
		if w.Spare || p.Circuit.Edge(id) == nil {
			continue
		}
		c := p.Subject(id, w.Path())
		if !p.Unsound(c, w.From, w.To) {
			eval(c, w)
		}
	}
}

func checkInsulation(p *rules.Pass) {
	l := demand.For(p)
	wires(p, func(c *rules.Check, w *schema.Wire) { evalInsulation(c, l, w, p.Required()) })
}

func evalInsulation(c *rules.Check, l *demand.Demands, w *schema.Wire, required float64) {
	path := w.Path() + ".insulation.rated_V"
	highest, err := l.WorkingV(c.Working, l.Sources(w.ID))
	rated := w.Insulation.RatedV
	switch {
	case highest == 0:
		c.Holds(true, "%s is not fed by any source", w.ID)
		return
	case !rated.Known && required*highest > labelV:
		c.NotChecked(path, "%s: up to %s V; the rated voltage of its insulation is not given", w.ID, rules.Figure(highest))
		return
	}
	limit := rated.Value
	if rated.Known {
		c.Given("V_ins", "rated voltage of the insulation of "+w.ID, limit, "V", path)
	} else {
		limit = c.Standard("V_ins", "rating of any vehicle cable; none is given for "+w.ID, labelV, "V", "ISO 19642-3, as ISO 6722-1 before, from memory")
	}
	if demand.VoltageUnknown(c, err, required*highest <= limit, "of "+w.ID) {
		return
	}
	if _, in := l.Circuit.PhaseOf(l.Circuit.Edge(w.ID)); in {
		c.Because("phase-voltage-low", w.ID)
	}
	c.Fix("use cable rated at least %s V, usually 600 V", rules.Figure(rules.RoundUp(required*highest, 1)))
	c.AtMost(rules.Volts(highest), rules.Volts(limit), "%s: up to %s V, insulation rated %s V", w.ID, rules.Figure(highest), rules.Figure(limit))
}
