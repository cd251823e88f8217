package record

import "example.org/headroom/rules"

func modesMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "modes-missing",
		Family: family,
		Title:  "no parts, or no modes of use, are given",
		Why: "Currents, voltages and temperatures belong to a mode of use. Without one almost nothing is checked, and a specification " +
			"without parts would pass everything.",
		Relation: "the specification has parts, and at least one mode",
		Source:   "completeness of the record",
		Level:    rules.Error,
		Fix:      "add the parts with their conductors, and list under modes what is on together",
		Example:  rules.Example{Vehicle: "heron", Subject: "vehicle", Edits: []rules.Edit{{Path: "modes", Value: "{}"}, {Path: "cycle"}}},
		Check: func(p *rules.Pass) {
			parts := 0
			for range p.Spec.Parts() {
				parts++
			}
			c := p.Subject("vehicle", "vehicle")
			broken := brokenIn(p.Spec, "")
			switch {
			case (parts == 0 || len(p.Spec.Modes) == 0) && broken != "":
				c.NotChecked(broken, "whether the vehicle has parts and modes is not known: %s holds a mistake", broken)
			case parts == 0:
				c.Fail("the specification has no parts, so nothing is checked")
			case len(p.Spec.Modes) == 0:
				c.Fail("the specification has no modes, so nothing is checked in use")
			default:
				c.Holds(true, "the specification has parts and modes")
			}
		},
	}
}
