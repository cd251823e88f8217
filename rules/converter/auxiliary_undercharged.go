package converter

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func auxiliaryUndercharged() *rules.Rule {
	return &rules.Rule{
		ID:     "auxiliary-undercharged",
		Family: family,
		Title:  "a converter never fills the battery at its output",
		Why: "A battery at the output of a converter gets as full as the converter's voltage makes it. Four NMC cells at 13.8 V stay nearly empty, and a lead-acid battery " +
			"below its own voltage at rest sulphates: the reserve that everybody counts on is not there when the converter fails.",
		Relation: "V_out, at its tolerance, >= cells in series * the float voltage of a cell of its chemistry at 25 C; a battery that a charger fills too is not asked",
		Source:   "open-circuit voltages of the cell chemistries; float voltages are common practice, from memory",
		Level:    rules.Warning,
		Varies:   "error below the voltage that the cells have at rest with half of their charge: it never charges them at all; note where they come to half of it at least",
		Required: 1,
		Policy:   []string{"policy.required.auxiliary-undercharged"},
		Fix:      "set the converter to the float voltage of the battery, or use a battery that fits it",
		Example: rules.Example{Vehicle: "heron", Subject: "aux", Edits: []rules.Edit{
			{Path: "batteries.aux.chemistry", Value: `"NMC"`}, {Path: "batteries.aux.series", Value: "4"},
			{Path: "batteries.aux.nominal_V", Value: "14.4"}, {Path: "batteries.aux.max_V", Value: "16.8"}}},
		Check: checkUndercharged,
	}
}

func checkUndercharged(p *rules.Pass) {
	for _, f := range floats(p) {
		first := f.SeriesString[0]
		c := p.Subject(f.Name(), first.Path)
		if p.Unsound(c, first.ID+".neg", f.SeriesString[len(f.SeriesString)-1].ID+".pos") {
			continue
		}
		if id := f.charger(p); id != "" {
			c.Holds(true, "%s fills %s", id, f.Name())
			continue
		}
		best := f.by[0]
		for _, r := range f.by[1:] {
			if f.leastV(p, r) > f.leastV(p, best) {
				best = r
			}
		}
		f.checkUndercharged(c, p, best)
	}
}

// charger is a charger that charges the string too, "" if there is none.
func (f floating) charger(p *rules.Pass) string {
	for id, ch := range schema.Sorted(p.Spec.Chargers) {
		if !ch.Spare && p.Circuit.Charges(p.Circuit.Edge(id), f.SeriesString) {
			return id
		}
	}
	return ""
}

// leastV is the least that a regulator holds at the string, in V.
func (f floating) leastV(p *rules.Pass, r regulator) float64 {
	return f.setting(p.Subject("", ""), p, r, -1)
}

func (f floating) checkUndercharged(c *rules.Check, p *rules.Pass, r regulator) {
	c.Related(r.setPath, "what charges it")
	v := f.setting(c, p, r, -1)
	n, window, known := f.cells(c, p)
	if !known {
		first := p.Spec.Batteries[f.SeriesString[0].ID]
		missing := first.Path() + ".series"
		if first.Chemistry == "" || first.Chemistry == "other" {
			missing = first.Path() + ".chemistry"
		}
		c.NotChecked(missing, "%s: how full %s V makes it depends on its cells", f.Name(), rules.Figure(v))
		return
	}
	c.Standard("V_cell", "least float voltage of a cell", window.FloatMinV, "V", "common practice")
	need := c.Calc("V_need", "what its cells need", "n V_cell", fmt.Sprintf("%d * %s", n, rules.Term(window.FloatMinV)), float64(n)*window.FloatMinV, "V")
	switch {
	case v >= float64(n)*window.StarvedV:
		c.Level(rules.Note)
	case v < float64(n)*window.HalfV:
		c.Standard("V_half", "voltage at rest of a cell with half of its charge", window.HalfV, "V", "open-circuit voltage of the chemistry")
		c.Level(rules.Error)
	}
	if low, high := f.floatRange(p); low > 0 {
		c.Fix("set %s to %s to %s V, the float voltage of %s, or use a battery that fits it", r.id, rules.Figure(low), rules.Figure(high), f.Name())
	}
	c.AtLeast(rules.Volts(need), rules.Volts(v), "%s: %s holds it at no more than %s V (%s V per cell), which never fills it; it needs %s V", f.Name(), r.id,
		rules.Figure(v), rules.Figure(v/float64(n)), rules.Figure(need))
}
