package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func studOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "stud-overloaded",
		Family: family,
		Title:  "a stud carries more than it is rated for",
		Why: "A stud that is too thin for its current heats the nut that holds the lugs. Brass softens, the joint loses its pressure, " +
			"and the block that it is moulded into chars.",
		Relation: "half the sum of the currents of all conductors at the stud, continuous or as the equivalent continuous current of the cycle, <= rated_A; between a controller and its motor phase_continuous_A, as rms, with phase_peak_A for phase_peak_s after it; " +
			"without a rating, the usual rating of studs of that thread and metal: brass M6 63, M8 100, M10 160, M12 250 A; copper M10 200, M12 315, M16 400 A",
		Source:   "thermal replica of IEC 60255-149, time constant of 10 min from memory; ratings by thread: makers of terminal studs, common practice",
		Level:    rules.Error,
		Varies:   "warning where its rating is the usual one of its thread and metal",
		Required: 1,
		Fix:      "use a larger stud, or connect the conductors with a bar",
		Example: rules.Example{Vehicle: "heron", Subject: "plus", Edits: []rules.Edit{
			{Path: "studs.plus.rated_A", Value: "50"}}},
		Check: checkStuds,
	}
}

// studTauS is the time constant in s of the heating of a stud with its lugs: that
// of a contact of its size (from memory).
const studTauS = 600

// studs yields the studs on which conductors end, with the conductors.
func studs(p *rules.Pass, eval func(c *rules.Check, s *schema.Stud, v circuit.Node, lugs []*circuit.Edge)) {
	for id, s := range schema.Sorted(p.Spec.Studs) {
		v, ok := p.Circuit.Node(id + ".stud")
		if !ok || s.Spare {
			continue
		}
		var lugs []*circuit.Edge
		for _, e := range p.Circuit.EdgesAt(v) {
			if e.IsConductor() && endsOn(p, e.ID, id+".stud") {
				lugs = append(lugs, e)
			}
		}
		if len(lugs) == 0 {
			continue
		}
		c := p.Subject(id, s.Path())
		if !p.Unsound(c, id+".stud") {
			eval(c, s, v, lugs)
		}
	}
}

// endsOn reports whether a conductor ends on a terminal itself, and not on one
// that is of one metal with it.
func endsOn(p *rules.Pass, id, terminal string) bool {
	if w, ok := p.Spec.Wires[id]; ok {
		return w.From == terminal || w.To == terminal
	}
	b, ok := p.Spec.Busbars[id]
	return ok && (b.From == terminal || b.To == terminal)
}

func checkStuds(p *rules.Pass) {
	l := demand.For(p)
	studs(p, func(c *rules.Check, s *schema.Stud, v circuit.Node, lugs []*circuit.Edge) {
		evalStud(c, l, s, v, lugs)
	})
}

// studA is the rating of a stud, or the usual one of its thread and metal.
func studA(s *schema.Stud) (a float64, known bool) {
	if s.RatedA.Known {
		return s.RatedA.Value, true
	}
	a, known = map[string]float64{
		"M6 brass": 63, "M8 brass": 100, "M10 brass": 160, "M12 brass": 250,
		"M10 copper": 200, "M12 copper": 315, "M16 copper": 400,
	}[s.Thread+" "+s.Material]
	return a, known
}

func evalStud(c *rules.Check, l *demand.Demands, s *schema.Stud, v circuit.Node, lugs []*circuit.Edge) {
	limit, known := studA(s)
	if !known {
		c.NotChecked(s.Path()+".rated_A", "%s: neither rated_A nor a thread and material with a known rating is given", s.ID)
		return
	}
	if !s.RatedA.Known { // the maker's own may be higher
		c.Level(rules.Warning)
	}
	if modesUnknown(c, l, s.ID) {
		return
	}
	d, unmeasured := jointDemand(l, joined{name: s.ID, limitA: limit, lugs: lugs, whole: v})
	if unmeasured != nil {
		unmeasured(c)
		return
	}
	d.In(c)
	d.Explain(c.Working, s.ID, studTauS, "from memory")
	if s.RatedA.Known {
		c.Given("I_n", "rated current of "+s.ID, limit, "A", s.Path()+".rated_A")
	} else {
		c.Standard("I_n", "usual rating of a stud "+s.Thread+" of "+s.Material, limit, "A", "makers of terminal studs, common practice")
	}
	c.Fix("use a stud rated at least %s A, or connect the conductors with a bar", rules.Figure(rules.RoundUp(d.EqA*l.Required(), 1)))
	c.AtMost(rules.Amperes(d.EqA), rules.Amperes(limit), "%s: %s A %s, rated %s A", s.ID, rules.Figure(d.EqA), d.Said(), rules.Figure(limit))
}
