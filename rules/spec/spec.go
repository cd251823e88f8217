// Package spec puts the rules of the schema layer into the form of the
// catalogue. The loader applies them while it reads a specification.
package spec

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	var out []*rules.Rule
	for _, doc := range schema.Rules() {
		out = append(out, &rules.Rule{
			ID: doc.ID, Family: "spec", Title: doc.Title, Why: doc.Why, Fix: doc.Fix,
			Relation: "the specification matches the definitions of the format",
			Source:   "the definitions of format version 1, as printed by headroom schema",
			Level:    rules.Error,
			Example:  rules.Example{Text: doc.Example},
		})
	}
	return out
}
