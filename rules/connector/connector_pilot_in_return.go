package connector

import "example.org/headroom/rules"

func pilotInReturn() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-pilot-in-return",
		Family: family,
		Title:  "the pilot contacts of a connector are in the return of the coil that they open",
		Why: "A loop of the low side runs through the connector to the chassis. One chafed spot of it closes it for ever, and the contactor stays in with the connector parted; " +
			"in the feed the same chafe blows the fuse.",
		Relation: "pilot contacts cut the coil off from the positive side, not only from the negative one",
		Source:   "rules of student competitions for vehicles above 60 V, EV.7.8.3; common practice",
		Level:    rules.Warning,
		Fix:      "lead the feed of the coil through the pilot contacts, and its return straight home",
		Example: rules.Example{Vehicle: "heron", Subject: "inlet", Edits: []rules.Edit{
			{Path: "connectors.inlet", Value: pilotInlet}}},
		Check: checkPilotInReturn,
	}
}

// pilotInlet is the inlet of examples whose second contact is its pilot.
const pilotInlet = `{}`

func checkPilotInReturn(p *rules.Pass) {
	for _, k := range plugs(p) {
		if len(k.pilot) == 0 {
			continue
		}
		c := p.Subject(k.ID, k.Path())
		if k.pilot.Unsound(p, c) {
			continue
		}
		low := ""
		for _, x := range p.Circuit.PilotedBy(k.pilot) {
			if x.InReturn {
				low = x.ID
			}
		}
		if low == "" {
			c.Holds(true, "%s: its pilot contacts are in the feed of what they open", k.ID)
			continue
		}
		c.Related(p.Spec.Part(low).Common().Path(), "its coil")
		c.Fail("%s: its pilot contacts are in the return of the coil of %s; a return that chafes through to the negative side keeps it closed", k.ID, low)
	}
}
