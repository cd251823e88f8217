package waiver

import (
	"time"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func expired() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-expired",
		Family: family,
		Title:  "a waiver has expired, so its finding counts again",
		Why: "What was accepted for a season stays for years: the part that was to be replaced is still there, older, and nobody has decided that " +
			"it may stay.",
		Relation: "the day of the run is not after the day on which the waiver expires, its last day",
		Source:   "common practice",
		Level:    rules.Error,
		Varies:   "the level of the waived finding, if that is lower",
		Fix:      "correct what it accepts; or have the person responsible for the vehicle approve it again, with a reason and a new date",
		Example: rules.Example{Vehicle: "heron", Subject: "rating-source-missing/main", Edits: []rules.Edit{
			{Path: "fuses.main.source"},
			{Path: "waivers", Value: `[{"rule": "rating-source-missing", "subject": "main", "reason": "The sheet is with the supplier.", "approved_by": "workshop lead", "expires": "2020-03-31"}]`}}},
	}
}

// evalDay reports whether the waiver still holds.
func (d *matcher) evalDay(w *schema.Waiver, finding *rules.Result) bool {
	c := d.check(expired(), w, "expires").Level(finding.Level)
	d.addDays(c, w)
	if d.today.After(w.LastDay()) {
		c.Because(w.Rule, w.Subject)
		c.Fail("%s, approved by %s, expired on %s; the finding counts again", name(w), w.ApprovedBy, w.Expires)
		return false
	}
	c.Holds(true, "%s is valid until %s", name(w), w.Expires)
	return true
}

// addDays adds the two days to compare to a working.
func (d *matcher) addDays(c *rules.Check, w *schema.Waiver) {
	c.GivenText("t_exp", "last day of the waiver", w.Expires, w.Path()+".expires")
	c.Add(rules.Step{Symbol: "t_run", What: "day of the run", Text: d.today.Format(time.DateOnly),
		Origin: rules.Origin{Kind: rules.FromRun, Ref: "the date of the run, or that of --today"}})
}
