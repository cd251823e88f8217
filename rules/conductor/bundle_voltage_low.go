package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func bundleVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "bundle-voltage-low",
		Family: family,
		Title:  "a wire is bundled with one of a higher voltage than its insulation is rated for",
		Why: "In a bundle only the two insulations separate the networks. Where the bundle is bent, tied or crushed, " +
			"pack voltage reaches the lamp wire through the thinner of the two, and with it every lamp and switch on that wire.",
		Relation: "insulation.rated_V of every wire of a bundle >= the highest working voltage of any wire of that bundle",
		Source:   "IEC 60364-5-52, 521.6",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"wires.insulation.rated_V"},
		Fix:      "route the networks separately, or use cable rated for the higher voltage for both",
		Example: rules.Example{Vehicle: "heron", Subject: "w_tail_pos", Edits: []rules.Edit{
			{Path: "wires.w_enable.bundle", Value: `"rear"`}}},
		Check: checkBundles,
	}
}

// neighbour is the wire with the highest voltage of a bundle.
type neighbour struct {
	id string
	v  float64
}

func checkBundles(p *rules.Pass) {
	l := demand.For(p)
	highest := map[string]neighbour{}
	for id, w := range schema.Sorted(p.Spec.Wires) {
		if w.Bundle == "" || w.Spare || p.Circuit.Edge(id) == nil {
			continue
		}
		if v, _ := l.Volts(l.Sources(id)); v > highest[w.Bundle].v {
			highest[w.Bundle] = neighbour{id, v}
		}
	}
	first := map[string]string{} // the wire of a bundle that carries the finding
	wires(p, func(c *rules.Check, w *schema.Wire) {
		n, ok := highest[w.Bundle]
		if w.Bundle == "" || !ok {
			return
		}
		own, _ := l.Volts(l.Sources(w.ID))
		if own >= n.v {
			c.Holds(true, "bundle %s has no wire at a higher voltage than %s", w.Bundle, w.ID)
			return
		}
		evalBundle(c, l, w, n, first, p.Required())
	})
}

func evalBundle(c *rules.Check, l *demand.Demands, w *schema.Wire, n neighbour, first map[string]string, required float64) {
	path := w.Path() + ".insulation.rated_V"
	rated := w.Insulation.RatedV
	if !rated.Known && required*n.v > labelV {
		c.NotChecked(path, "%s: bundled (%s) with %s at up to %s V; the rated voltage of its insulation is not given", w.ID, w.Bundle, n.id, rules.Figure(n.v))
		return
	}
	c.GivenText("bundle", "bundle of "+w.ID+" and "+n.id, w.Bundle, w.Path()+".bundle")
	v, err := l.WorkingV(c.Working, l.Sources(n.id))
	limit := rated.Value
	if rated.Known {
		c.Given("V_ins", "rated voltage of the insulation of "+w.ID, limit, "V", path)
	} else {
		limit = c.Standard("V_ins", "rating of any vehicle cable; none is given for "+w.ID, labelV, "V", "ISO 19642-3, as ISO 6722-1 before, from memory")
	}
	if demand.VoltageUnknown(c, err, required*v <= limit, "of "+n.id) {
		return
	}
	if required*v > limit {
		// One wire of a higher voltage in a bundle of ten is one weakness.
		if lead, ok := first[w.Bundle]; ok {
			c.Because("bundle-voltage-low", lead)
		} else {
			first[w.Bundle] = w.ID
		}
		c.Related("wires."+n.id, "the wire of the higher voltage")
	}
	c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: bundled (%s) with %s at up to %s V, insulation rated %s V", w.ID, w.Bundle, n.id, rules.Figure(v), rules.Figure(limit))
}
