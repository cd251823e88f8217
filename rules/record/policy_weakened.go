package record

import "example.org/headroom/rules"

func policyWeakened(known []*rules.Rule) *rules.Rule {
	return &rules.Rule{
		ID:     "policy-weakened",
		Family: family,
		Title:  "the policy asks for less than a check does by itself",
		Why: "A requirement that was lowered once, for one part of one vehicle, lets every vehicle pass for ever. " +
			"It has its place, but a reviewer must see it.",
		Relation: "policy.required is at least the rule's own required headroom, and policy.levels at least its own level; " +
			"a waiver accepts one finding and leaves the rule as it is",
		Source: "common practice",
		Level:  rules.Note,
		Fix:    "accept the one finding that it is meant for, and leave the rule's requirement as it is",
		Example: rules.Example{Vehicle: "heron", Subject: "policy.required.fuse-voltage-low", Edits: []rules.Edit{
			{Path: "policy.required.fuse-voltage-low", Value: "0.5"}}},
		Check: func(p *rules.Pass) {
			for _, r := range known {
				judgeWeakened(p, r)
			}
		},
	}
}

func judgeWeakened(p *rules.Pass, r *rules.Rule) {
	if asked, tuned := p.Spec.Policy.Required[r.ID]; tuned {
		path := "policy.required." + r.ID
		c := p.Subject(path, path)
		c.Given("h_pol", "headroom that the policy requires", asked, "", path)
		c.Standard("h_rule", "headroom that the rule requires by itself", r.Required, "", r.ID)
		c.Holds(asked >= r.Required, "%s asks for a headroom of %s; the rule by itself asks for %s", path, rules.Figure(asked), rules.Figure(r.Required))
	}
	if level, tuned := p.Spec.Policy.Levels[r.ID]; tuned {
		path := "policy.levels." + r.ID
		p.Subject(path, path).Holds(rules.Level(level).Rank() >= r.Level.Rank(), "%s makes findings of the rule %ss; by itself it gives %ss", path, level, string(r.Level))
	}
}
