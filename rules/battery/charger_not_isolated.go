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
		Title:  "a charger connects the battery to the mains",
		Why: "Without isolation in the charger both poles of the battery are at mains potential while it charges, whatever the battery's own voltage: " +
			"anyone who touches a pole, a stud or a worn cable touches the mains, and one insulation fault puts it on the frame.",
		Relation: "every charger isolates its output from the mains (isolated: true)",
		Source:   "protective separation of IEC 60364-4-41 (from memory); that chargers of small vehicles isolate is common practice",
		Level:    rules.Error,
		Varies:   "warning where no battery that it charges is above voltage class A",
		Fix:      "use a charger with galvanic isolation; or, if its maker allows it, connect the frame to protective earth, charge only behind a residual-current device for smooth direct current (type B), have a qualified person check it, and waive this",
		Example: rules.Example{Vehicle: "heron", Subject: "charger", Edits: []rules.Edit{
			{Path: "chargers.charger.isolated", Value: "false"}}},
		Check: checkChargerIsolated,
	}
}

func checkChargerIsolated(p *rules.Pass) {
	for _, ch := range chargers(p) {
		c := p.Subject(ch.ID, ch.Path())
		if ch.Isolated {
			c.Holds(true, "%s isolates the battery from the mains", ch.ID)
			continue
		}
		var highest float64
		for _, s := range charged(p, ch) {
			highest = max(highest, s.V(p.Spec, circuit.Highest))
		}
		if highest <= calc.ClassALimitV {
			c.Level(rules.Warning)
		}
		c.Fail("%s is not isolated: the battery is at mains potential while it charges", ch.ID)
	}
}
