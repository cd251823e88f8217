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
		Title:  "the policy names a rule that does not exist",
		Why: "A required headroom under a misspelt id has no effect: the team believes that it requires 25 % more, and the check " +
			"still uses its default.",
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
					c.Fail("%s has no effect: there is no rule %s", path, id)
					return
				}
				c.Holds(true, "%s applies to the rule %s", path, id)
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
