package record

import "example.org/headroom/rules"

func policyWeakened(known []*rules.Rule) *rules.Rule {
	return &rules.Rule{
		ID:     "policy-weakened",
		Family: family,
		Title:  "the policy requires less than the rule does by default",
		Why: "A requirement lowered for one part of one vehicle is lowered for every part of every vehicle. " +
			"That can be right, but a reviewer must see it.",
		Relation: "policy.required is at least the rule's default headroom, and policy.levels at least its default level; " +
			"a waiver accepts one finding and leaves the rule unchanged",
		Source: "common practice",
		Level:  rules.Note,
		Fix:    "remove the entry from the policy, and waive the one finding that it is meant for",
		Example: rules.Example{Vehicle: "heron", Subject: "policy.required.fuse-voltage-low", Edits: []rules.Edit{
			{Path: "policy.required.fuse-voltage-low", Value: "0.5"}}},
		Check: func(p *rules.Pass) {
			for _, r := range known {
				evalWeakened(p, r)
			}
		},
	}
}

func evalWeakened(p *rules.Pass, r *rules.Rule) {
	if asked, tuned := p.Spec.Policy.Required[r.ID]; tuned {
		path := "policy.required." + r.ID
		c := p.Subject(path, path)
		c.Given("h_pol", "headroom that the policy requires", asked, "", path)
		c.Standard("h_rule", "headroom that the rule requires by default", r.Required, "", r.ID)
		c.Holds(asked >= r.Required, "%s requires a headroom of %s; the rule's default is %s", path, rules.Figure(asked), rules.Figure(r.Required))
	}
	if level, tuned := p.Spec.Policy.Levels[r.ID]; tuned {
		path := "policy.levels." + r.ID
		p.Subject(path, path).Holds(rules.Level(level).Rank() >= r.Level.Rank(), "%s makes findings of the rule %ss; its default level is %s", path, level, string(r.Level))
	}
}
