package battery

import (
	"example.org/headroom/rules"
)

func chargerNotIsolated() *rules.Rule {
	return &rules.Rule{
		ID:     "charger-not-isolated",
		Family: family,
		Title:  "a charger connects the battery to the mains",
		Why: "Without isolation in the charger both poles of the battery are at mains potential while it charges, whatever the battery's own voltage: " +
			"anyone who touches a pole, a stud or a worn cable touches the mains, and one insulation fault puts it on the frame.",
		Relation: "every charger isolates its output from the mains (isolated: true), whatever the voltage of its battery",
		Source:   "a galvanic path from the mains; IEC 60335-2-29 (output of battery chargers is safety extra-low voltage) and protective separation of IEC 60364-4-41, both from memory",
		Level:    rules.Error,
		Fix:      "use a charger with galvanic isolation; or, if its maker allows it, connect the frame to protective earth, charge only behind a residual-current device for smooth direct current (type B), have a qualified person check it, and waive this",
		Example: rules.Example{Vehicle: "heron", Subject: "charger", Edits: []rules.Edit{
			{Path: "chargers.charger.isolated", Value: "false"}}},
		Check: checkChargerIsolated,
	}
}

func checkChargerIsolated(p *rules.Pass) {
	for _, ch := range chargers(p) {
		if ch.Supply == "dc" {
			continue // no mains are near it
		}
		c := p.Subject(ch.ID, ch.Path())
		if ch.Isolated {
			c.Holds(true, "%s isolates the battery from the mains", ch.ID)
			continue
		}
		c.Fail("%s is not isolated: the battery is at mains potential while it charges", ch.ID)
	}
}
