package record

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func policyRuleUnknown(known []string) *rules.Rule {
	return &rules.Rule{
		ID:     "policy-rule-unknown",
		Family: family,
		Title:  "the policy tunes a rule that does not exist",
		Why: "A required headroom under a misspelt id tunes nothing: the team believes that it asks for a quarter more, and the check " +
			"goes on with its default.",
		Relation: "each name in policy.required and policy.levels is the id of a rule",
		Source:   "consistency of the record",
		Level:    rules.Error,
		Fix:      "take the id from \"headroom rules\"",
		Example: rules.Example{Vehicle: "heron", Subject: "policy.required.fuse-voltag-low", Edits: []rules.Edit{
			{Path: "policy.required.fuse-voltag-low", Value: "1.2"}}},
		Check: func(p *rules.Pass) {
			check := func(group, id string) {
				path := "policy." + group + "." + id
				c := p.Subject(path, path)
				if !slices.Contains(known, id) {
					c.Fail("%s tunes nothing: there is no rule %s", path, id)
					return
				}
				c.Holds(true, "%s tunes the rule %s", path, id)
			}
			for id := range schema.Sorted(p.Spec.Policy.Required) {
				check("required", id)
			}
			for id := range schema.Sorted(p.Spec.Policy.Levels) {
				check("levels", id)
			}
		},
	}
}
