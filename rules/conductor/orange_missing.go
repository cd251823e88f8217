package conductor

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const orangeMissingID = "orange-missing"

func orangeMissing() *rules.Rule {
	return &rules.Rule{
		ID:     orangeMissingID,
		Family: family,
		Title:  "a wire above 60 V outside an enclosure is not orange",
		Why: "Whoever repairs the vehicle, or cuts someone out of it, goes by the colour. A red cable means 12 V to a mechanic; " +
			"orange means do not touch until it has been isolated and measured.",
		Relation: "a wire whose network has a highest working voltage above 60 V DC and that does not run inside an enclosure has an orange outer covering. " +
			"At 60 V and below any colour is allowed",
		Source:   "UN R100, 5.1.1.5.3; UN R136 for light vehicles; ISO 6469-3",
		Level:    rules.Warning,
		Required: 0,
		Fix:      "use orange cable, or orange conduit over it, and set colour to orange",
		Example: rules.Example{Vehicle: "heron", Subject: "w_contactor_drive", Edits: []rules.Edit{
			{Path: "wires.w_contactor_drive.colour", Value: `"red"`}}},
		Check: checkOrange,
	}
}

func checkOrange(p *rules.Pass) {
	l := demand.For(p)
	lead := longestNotOrange(p, l)
	wires(p, func(c *rules.Check, w *schema.Wire) {
		sources := l.Sources(w.ID)
		if v, _ := l.Volts(sources); v <= calc.ClassALimitV {
			return
		}
		v, _ := l.WorkingV(c.Working, sources)
		c.Standard("V_A", "highest working voltage of voltage class A", calc.ClassALimitV, "V", "ISO 6469-3, UN R100, UN R136")
		switch {
		case w.Enclosed:
			c.Holds(true, "%s runs inside an enclosure", w.ID)
		case w.Colour == "":
			c.NotChecked(w.Path()+".colour", "%s: up to %s V outside an enclosure; its colour is not given", w.ID, rules.Figure(v))
		default:
			if !isOrange(w) && lead != w.ID {
				c.Because(orangeMissingID, lead)
			}
			c.GivenText("colour", "colour of "+w.ID, w.Colour, w.Path()+".colour")
			c.Holds(isOrange(w), "%s: up to %s V outside an enclosure, colour %s", w.ID, rules.Figure(v), w.Colour)
		}
	})
}

func isOrange(w *schema.Wire) bool { return strings.Contains(strings.ToLower(w.Colour), "orange") }

// longestNotOrange is the wire that carries the finding: a vehicle wired in red
// has one weakness, not thirty.
func longestNotOrange(p *rules.Pass, l *demand.Demands) (id string) {
	var most float64
	for other, w := range schema.Sorted(p.Spec.Wires) {
		if w.Spare || w.Enclosed || w.Colour == "" || isOrange(w) || w.LengthM <= most || p.Circuit.Edge(other) == nil {
			continue
		}
		if v, _ := l.Volts(l.Sources(other)); v > calc.ClassALimitV {
			id, most = other, w.LengthM
		}
	}
	return id
}
