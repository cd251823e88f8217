package waiver

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func exceeded() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-exceeded",
		Family: family,
		Title:  "a finding is worse than its waiver covers, so it counts again",
		Why: "Somebody decided that a cable with 95 % of the required headroom is safe. After a later change it has 60 %, and nobody has " +
			"decided on that.",
		Relation: "the headroom of the check is at least the waiver's down_to",
		Source:   "common practice",
		Level:    rules.Error,
		Varies:   "the level of the waived finding, if that is lower",
		Fix:      "restore the headroom, or have the person responsible for the vehicle approve a waiver with a lower down_to",
		Example: rules.Example{Vehicle: "heron", Subject: "fuse-voltage-low/main", Edits: []rules.Edit{
			{Path: "fuses.main.rated_V_dc", Value: "40"},
			{Path: "waivers", Value: `[{"rule": "fuse-voltage-low", "subject": "main", "reason": "The pack is never charged above half.", "approved_by": "workshop lead", "expires": "2031-03-31", "down_to": 0.9}]`}}},
	}
}

// evalBound reports whether the finding is still within what the waiver covers.
func (d *matcher) evalBound(w *schema.Waiver, finding *rules.Result) bool {
	if !w.DownTo.Known {
		return true
	}
	c := d.check(exceeded(), w, "down_to").Level(finding.Level)
	least := c.Given("h_w", "lowest headroom that the waiver covers", w.DownTo.Value, "", w.Path()+".down_to")
	if !measured(*finding) {
		c.Because(w.Rule, w.Subject)
		c.Fix("remove down_to, or remove the waiver")
		c.Fail("%s covers a headroom down to %s, but this check has no headroom; the finding counts", name(w), rules.Figure(least))
		return false
	}
	c.Add(found(*finding))
	// The last digits of a double are not an engineering difference.
	const rounding = 1e-9
	if finding.Headroom < least*(1-rounding) {
		c.Because(w.Rule, w.Subject)
		c.Fail("%s, approved by %s, covers a headroom down to %s; it is now %s, so the finding counts again",
			name(w), w.ApprovedBy, rules.Figure(least), rules.Figure(finding.Headroom))
		return false
	}
	c.Holds(true, "%s covers the headroom of the check", name(w))
	return true
}

// measured reports whether a result compares a demand with a capability.
func measured(r rules.Result) bool { return r.Required > 0 || r.Headroom != 0 }

// found is the step that brings in the headroom of another check.
func found(r rules.Result) rules.Step {
	return rules.Step{Symbol: "h", What: "headroom of the check", Value: r.Headroom,
		Origin: rules.Origin{Kind: rules.FromResult, Ref: r.Key()}}
}
