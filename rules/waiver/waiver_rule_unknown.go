package waiver

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func ruleUnknown() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-rule-unknown",
		Family: family,
		Title:  "a waiver is for a rule that does not exist or cannot be waived",
		Why: "The team believes that a finding is accepted until a date, and the waiver does nothing. Mistakes in the " +
			"specification itself cannot be waived: what depends on them has not been checked.",
		Relation: "the waiver's rule is the id of a rule, neither about the format of the specification (spec-...) nor about waivers (waiver-...)",
		Source:   "consistency of the record",
		Level:    rules.Error,
		Fix:      "take the id from \"headroom rules\"",
		Example: rules.Example{Vehicle: "heron", Subject: "load-drop-hihg/headlamp", Edits: []rules.Edit{
			{Path: "waivers", Value: `[{"rule": "load-drop-hihg", "subject": "headlamp", "reason": "It is bright enough.", "approved_by": "workshop lead", "expires": "2031-03-31"}]`}}},
	}
}

// evalRule reports whether the waiver is for a rule whose findings can be accepted.
func (d *matcher) evalRule(w *schema.Waiver) bool {
	c := d.check(ruleUnknown(), w, "rule")
	known := d.catalogue[w.Rule]
	switch {
	case known == nil:
		message := fmt.Sprintf("%s accepts nothing: there is no rule %s", name(w), w.Rule)
		if s := schema.Closest(w.Rule, d.ids); s != "" {
			message += fmt.Sprintf("; did you mean %q?", s)
			c.Fix("write %q", s)
		}
		c.Fail("%s", message)
	case known.Family == "spec":
		c.Fix("correct the specification as the finding says, and remove the waiver")
		c.Fail("%s accepts nothing: a mistake in the specification cannot be waived", name(w))
	case known.Family == family && d.own[w.Rule]:
		c.Fix("correct the other waiver, and remove this one")
		c.Fail("%s accepts nothing: a finding about a waiver cannot be waived", name(w))
	default:
		c.Holds(true, "%s is for a rule that exists", name(w))
		return true
	}
	return false
}
