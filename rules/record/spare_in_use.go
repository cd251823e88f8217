package record

import "example.org/headroom/rules"

func spareInUse() *rules.Rule {
	return &rules.Rule{
		ID:     "spare-in-use",
		Family: family,
		Title:  "a part marked spare is wired or used in a mode",
		Why: "A spare part is only carried on board, so no check looks at it. If it is wired, it is in the circuit all the same, " +
			"and none of its ratings is checked.",
		Relation: "a part with spare: true is the end of no conductor and is named in no mode",
		Source:   "consistency of the record",
		Level:    rules.Error,
		Fix:      "remove spare: true, so that the part is checked, or remove its conductors and its entries in the modes",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.spare", Value: "true"}}},
		Check: func(p *rules.Pass) {
			u := usage(p.Spec)
			for id, part := range p.Spec.Parts() {
				base := part.Common()
				if !base.Spare {
					continue
				}
				c := p.Subject(id, base.Path()+".spare")
				switch {
				case u.joined[id] > 0:
					c.Fail("%s is marked spare but is wired: none of its ratings is checked", id)
				case u.on[id] || u.drawn[id] || u.connected[id] || u.closed[id]:
					c.Fail("%s is marked spare but is used in a mode: none of its ratings is checked", id)
				default:
					c.Holds(true, "%s is a spare and is not wired", id)
				}
			}
		},
	}
}
