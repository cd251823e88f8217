package waiver

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func unused() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-unused",
		Family: family,
		Title:  "a waiver accepts nothing: there is no such finding",
		Why: "Whoever reads the waiver believes that something is wrong which is not, or that a check is made which is not. And a " +
			"finding that comes back later, for another reason, would be accepted before anyone has seen it.",
		Relation: "the check that the waiver names is made, and fails",
		Source:   "common practice",
		Level:    rules.Warning,
		Fix:      "remove the waiver",
		Example: rules.Example{Vehicle: "heron", Subject: "fuse-voltage-low/main", Edits: []rules.Edit{
			{Path: "waivers", Value: `[{"rule": "fuse-voltage-low", "subject": "main", "reason": "The other fuse is on order.", "approved_by": "workshop lead", "expires": "2031-03-31"}]`}}},
	}
}

// boundless is the headroom from which on the subject has no demand.
const boundless = 1e6

// evalUse reports whether the result that the waiver names, nil if there is none,
// is a finding to accept.
func (d *matcher) evalUse(w *schema.Waiver, r *rules.Result) bool {
	c := d.check(unused(), w, "")
	switch {
	case r == nil:
		d.evalSilence(w, c)
	case r.IsFinding():
		c.Holds(true, "%s is needed", name(w))
		return true
	case r.Verdict.Unmade() && slices.Contains(d.spec.Broken(), r.Missing):
		// The mistake is a finding of its own; with it corrected, the check may well fail.
		c.NotChecked(r.Missing, "whether %s is needed is not known: %s holds a mistake", name(w), r.Missing)
	case r.Verdict.Unmade():
		c.Fix("give the value that the check needs, or remove the waiver")
		c.Fail("%s accepts nothing: the check is not made; it needs %s", name(w), r.Missing)
	case measured(*r) && r.Headroom < boundless:
		c.Add(found(*r))
		c.Fail("%s accepts nothing: the check passes with a headroom of %s; required is %s", name(w), rules.Figure(r.Headroom), rules.Figure(r.Required))
	default:
		c.Fail("%s accepts nothing: the check passes", name(w))
	}
	return false
}

// evalSilence checks a waiver for a subject that its rule says nothing of.
func (d *matcher) evalSilence(w *schema.Waiver, c *rules.Check) {
	if d.broken != "" {
		c.NotChecked(d.broken, "whether %s is needed is not known: %s holds a mistake", name(w), d.broken)
		return
	}
	known := d.subjectsOf(w.Rule)
	if len(known) == 0 {
		c.Fail("%s accepts nothing: the rule has no subject in this vehicle", name(w))
		return
	}
	c.Fix("write the subject as in the finding, or remove the waiver")
	c.Fail("%s accepts nothing: %s is not a subject of the rule; its subjects are %s", name(w), w.Subject, listed(known))
}
