package record

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func labelDuplicate() *rules.Rule {
	return &rules.Rule{
		ID:     "label-duplicate",
		Family: family,
		Title:  "two parts have the same label",
		Why: "Whoever looks for a fault goes by the label on the part and the drawing. With two fuses F1 they pull the wrong one, " +
			"and work on what they believe to be dead.",
		Relation: "no two parts, wires or bars have one label; upper and lower case count as the same",
		Source:   "consistency of the record; IEC 81346-1 (one designation for one object), from memory",
		Level:    rules.Warning,
		Fix:      "give each its own label, and change the sign on the part with it",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.charge_fuse.label", Value: `"F77"`}, {Path: "fuses.main.label", Value: `"F77"`}}},
		Check: checkLabels,
	}
}

func checkLabels(p *rules.Pass) {
	var labelled []*schema.Base
	add := func(b *schema.Base) {
		if b.Label != "" {
			labelled = append(labelled, b)
		}
	}
	for _, part := range p.Spec.Parts() {
		add(part.Common())
	}
	for _, conductor := range p.Spec.Conductors() {
		add(&conductor.Base)
	}
	sharing := map[string][]*schema.Base{}
	for _, b := range labelled {
		label := strings.ToUpper(b.Label)
		sharing[label] = append(sharing[label], b)
	}
	for _, b := range labelled {
		if b.Spare {
			continue // the part in use has the finding
		}
		c := p.Subject(b.ID, b.Path())
		var others []string
		for _, other := range sharing[strings.ToUpper(b.Label)] {
			if other != b {
				others = append(others, other.ID)
				c.Related(other.Path()+".label", "has the same label")
			}
		}
		if len(others) == 0 {
			c.Holds(true, "%s alone is labelled %s", b.ID, b.Label)
			continue
		}
		if first := firstInUse(sharing[strings.ToUpper(b.Label)]); first != b {
			c.Because("label-duplicate", first.ID)
		}
		so := "so is "
		if len(others) > 1 {
			so = "so are "
		}
		c.Fail("%s is labelled %s, and %s%s", b.ID, b.Label, so, rules.And(others))
	}
}

// firstInUse is the first of some parts that is not carried as a spare, nil if all are.
func firstInUse(parts []*schema.Base) *schema.Base {
	for _, b := range parts {
		if !b.Spare {
			return b
		}
	}
	return nil
}
