package report

import (
	"example.org/headroom/rules"
)

// Counts is a run, or a vehicle, in numbers. Checks counts every applied
// check; the others split it up by verdict, and findings by level.
type Counts struct {
	Vehicles   int `json:"vehicles"`
	Checks     int `json:"checks"`
	Passes     int `json:"passes"`      // for which all data were there
	AsDeclared int `json:"as_declared"` // passes that rest on what the specification merely says
	Errors     int `json:"errors"`
	Warnings   int `json:"warnings"`
	Notes      int `json:"notes"`
	Follow     int `json:"follow"` // findings among these that follow from another one
	Waived     int `json:"waived"`
	NotChecked int `json:"not_checked"` // for want of what refines a check
	// CannotVouch counts the checks that lack what is vital to them, and VitalMissing the
	// data that they lack: each part that lacks any has a finding.
	CannotVouch  int `json:"cannot_vouch"`
	VitalMissing int `json:"vital_missing"`
	Drafts       int `json:"drafts"`             // vehicles that are declared to be drafts
	Standing     int `json:"standing,omitempty"` // findings among these that an older revision has too
}

// Findings is the number of findings of all levels.
func (c Counts) Findings() int { return c.Errors + c.Warnings + c.Notes }

// Add adds the counts of another part of the run.
func (c *Counts) Add(other Counts) {
	c.Vehicles += other.Vehicles
	c.Checks += other.Checks
	c.Passes += other.Passes
	c.AsDeclared += other.AsDeclared
	c.CannotVouch += other.CannotVouch
	c.VitalMissing += other.VitalMissing
	c.Drafts += other.Drafts
	c.Errors += other.Errors
	c.Warnings += other.Warnings
	c.Notes += other.Notes
	c.Follow += other.Follow
	c.Waived += other.Waived
	c.NotChecked += other.NotChecked
	c.Standing += other.Standing
}

// Count counts the results of the run.
func (r *Report) Count() Counts {
	var total Counts
	for i := range r.Vehicles {
		total.Add(r.Vehicles[i].Count())
	}
	return total
}

// Count counts the results of one vehicle.
func (v *Vehicle) Count() Counts {
	c := Counts{Vehicles: 1, Checks: len(v.Results) + v.Counted, Passes: v.Counted}
	if v.Draft {
		c.Drafts = 1
	}
	vital := map[string]bool{}
	for i := range v.Results {
		res := &v.Results[i]
		if res.IsFinding() && v.States[res.Key()] == Standing {
			c.Standing++
		}
		switch res.Verdict {
		case rules.Passed:
			c.Passes++
		case rules.AsDeclared:
			c.AsDeclared++
		case rules.CannotVouch:
			c.CannotVouch++
			vital[res.Missing] = true
		case rules.Waived:
			c.Waived++
		case rules.NotChecked:
			c.NotChecked++
		case rules.Failed:
			switch res.Level {
			case rules.Error:
				c.Errors++
			case rules.Warning:
				c.Warnings++
			case rules.Note:
				c.Notes++
			}
		}
	}
	c.VitalMissing = len(vital)
	for _, f := range v.Findings() {
		c.Follow += len(f.Follow)
	}
	return c
}
