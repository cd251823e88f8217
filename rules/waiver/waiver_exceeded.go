package waiver

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func exceeded() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-exceeded",
		Family: family,
		Title:  "a finding has become worse than its waiver covers, and stands again",
		Why: "Someone judged that a cable at 95 % of what is required is safe in its place. A later change leaves it at 60 %, and nobody has " +
			"judged that.",
		Relation: "the headroom that the check finds is at least the waiver's down_to",
		Source:   "common practice",
		Level:    rules.Error,
		Varies:   "the level of the finding that stands again, if that is lower",
		Fix:      "undo what took the headroom, or have whoever answers for the vehicle decide anew, with a lower down_to",
		Example: rules.Example{Vehicle: "heron", Subject: "fuse-voltage-low/main", Edits: []rules.Edit{
			{Path: "fuses.main.rated_V_dc", Value: "40"},
			{Path: "waivers", Value: `[{"rule": "fuse-voltage-low", "subject": "main", "reason": "The pack is never charged above half.", "approved_by": "workshop lead", "expires": "2031-03-31", "down_to": 0.9}]`}}},
	}
}

// judgeBound reports whether the finding is still within what the waiver covers.
func (d *desk) judgeBound(w *schema.Waiver, named []int) bool {
	if !w.DownTo.Known {
		return true
	}
	c := d.check(exceeded(), w, "down_to").Level(d.level(named))
	least := c.Given("h_w", "least headroom that the waiver covers", w.DownTo.Value, "", w.Path()+".down_to")
	for _, i := range named {
		r := d.results[i]
		if !r.IsFinding() {
			continue
		}
		if !measured(r) {
			c.Because(w.Rule, w.Subject)
			c.Fix("leave down_to out, or remove the waiver")
			c.Fail("%s ends at a headroom of %s, but the check is a yes or no and finds none; the finding stands", name(w), rules.Figure(least))
			return false
		}
		c.Add(found(r))
		// The last digits of a double are not an engineering difference.
		const rounding = 1e-9
		if r.Headroom < least*(1-rounding) {
			c.Because(w.Rule, w.Subject)
			c.Fail("%s, approved by %s, ends at a headroom of %s, and the check finds %s; the finding stands again",
				name(w), w.ApprovedBy, rules.Figure(least), rules.Figure(r.Headroom))
			return false
		}
	}
	c.Holds(true, "%s covers the headroom that the check finds", name(w))
	return true
}

// measured reports whether a result compares a demand with a capability.
func measured(r rules.Result) bool { return r.Required > 0 || r.Headroom != 0 }

// found is the step that brings in the headroom of another check.
func found(r rules.Result) rules.Step {
	return rules.Step{Symbol: "h", What: "headroom that the check finds", Value: r.Headroom,
		Origin: rules.Origin{Kind: rules.FromResult, Ref: r.Key()}}
}
