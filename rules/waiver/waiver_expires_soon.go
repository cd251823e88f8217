package waiver

import (
	"strconv"
	"time"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// notice is how many days before a waiver expires it is brought up.
const notice = 30

func expiresSoon() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-expires-soon",
		Family: family,
		Title:  "a waiver expires within " + strconv.Itoa(notice) + " days",
		Why: "From the day after, the finding counts again and fails every change to the vehicle, even those that have nothing to do with it. A " +
			"new part takes weeks to arrive.",
		Relation: "the waiver is valid for more than " + strconv.Itoa(notice) + " days from the day of the run",
		Source:   "common practice",
		Level:    rules.Note,
		Fix:      "correct what it accepts in time; or have the person responsible for the vehicle approve it again, with a new date",
		Example: rules.Example{Vehicle: "heron", Subject: "rating-source-missing/main", Edits: []rules.Edit{
			{Path: "fuses.main.source"},
			{Path: "waivers", Value: `[{"rule": "rating-source-missing", "subject": "main", "reason": "The sheet is with the supplier.", "approved_by": "workshop lead", "expires": "2031-01-15"}]`}}},
	}
}

// evalNotice brings up a waiver that is about to expire.
func (d *matcher) evalNotice(w *schema.Waiver) {
	c := d.check(expiresSoon(), w, "expires")
	d.addDays(c, w)
	left := int(w.LastDay().Sub(d.today) / (24 * time.Hour))
	c.Add(rules.Step{Symbol: "n", What: "days left", Formula: "t_exp - t_run", Value: float64(left), Unit: "d",
		Origin: rules.Origin{Kind: rules.FromFormula}})
	when := "in " + strconv.Itoa(left) + " days, on " + w.Expires
	switch left {
	case 0:
		when = "today, on " + w.Expires
	case 1:
		when = "tomorrow, on " + w.Expires
	}
	c.Holds(left > notice, "%s expires %s", name(w), when)
}
