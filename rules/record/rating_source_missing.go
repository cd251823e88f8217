package record

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func sourceMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "rating-source-missing",
		Family: family,
		Title:  "the ratings of a part have no datasheet reference",
		Why: "After a year a rating that nobody can trace is a guess, and the reviewer of a changed part cannot tell whether " +
			"the new number is from a datasheet or from memory.",
		Relation: "every part that is chosen by its ratings has source, with the datasheet and its revision; wires, loads, meters and studs need none",
		Source:   "common practice",
		Level:    rules.Note,
		Fix:      "add source: \"...\" with the datasheet and its revision",
		Example: rules.Example{Vehicle: "heron", Subject: "spare_pump", Edits: []rules.Edit{
			{Path: "converters.spare_pump", Value: `{"input": {"min_V": 40, "max_V": 100}, "output": {"nominal_V": 13.2, "continuous_A": 5}, "isolated": true}`}}},
		Check: checkSourceMissing,
	}
}

func checkSourceMissing(p *rules.Pass) {
	first := "" // the others are mended in the same way, and stand with it
	for id, part := range p.Spec.Parts() {
		base := part.Common()
		if base.Spare || !rated(part) {
			continue
		}
		c := p.Subject(id, base.Path())
		if base.Source == "" {
			if first == "" {
				first = id
			} else {
				c.Because("rating-source-missing", first)
			}
			c.Fail("%s: the source of its ratings is not given", id)
			continue
		}
		c.GivenText("source", "datasheet of "+id, base.Source, base.Path()+".source")
		c.Holds(true, "%s: its ratings are from %s", id, base.Source)
	}
}

// rated reports whether a part is chosen by its ratings.
func rated(part schema.Part) bool {
	switch part.(type) {
	case *schema.Load, *schema.Meter, *schema.Stud:
		return false
	}
	return true
}
