package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
)

func chargerNotIsolated() *rules.Rule {
	return &rules.Rule{
		ID:     "charger-not-isolated",
		Family: family,
		Title:  "a charger joins the battery to the mains",
		Why: "Without isolation in the charger both poles of the battery stand on the mains while it charges, whatever the battery's own voltage: " +
			"who touches a pole, a stud or a worn cable touches the mains, and one fault of insulation puts it on the frame.",
		Relation: "every charger separates its output from the mains (isolated: true)",
		Source:   "protective separation of IEC 60364-4-41 (from memory); that chargers of small vehicles isolate is common practice",
		Level:    rules.Error,
		Varies:   "warning where no battery that it charges is above voltage class A",
		Fix:      "use a charger with galvanic isolation; or, if its maker allows that, connect the frame to protective earth and charge only behind a residual-current device for direct current, as a qualified person has checked, and waive this",
		Example: rules.Example{Vehicle: "heron", Subject: "charger", Edits: []rules.Edit{
			{Path: "chargers.charger.isolated", Value: "false"}}},
		Check: checkChargerIsolated,
	}
}

func checkChargerIsolated(p *rules.Pass) {
	for _, ch := range chargers(p) {
		c := p.Subject(ch.ID, ch.Path())
		if ch.Isolated {
			c.Holds(true, "%s separates the battery from the mains", ch.ID)
			continue
		}
		var highest float64
		for _, s := range charged(p, ch) {
			highest = max(highest, s.V(p.Spec, circuit.Highest))
		}
		if highest <= calc.ClassALimitV {
			c.Level(rules.Warning)
		}
		c.Fail("%s is not isolated: while it charges, what it charges stands on the mains", ch.ID)
	}
}
