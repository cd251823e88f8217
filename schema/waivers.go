package schema

import (
	"strconv"
	"time"

	"example.org/headroom/schema/internal/source"
)

// Waiver is a recorded decision to accept one finding.
type Waiver struct {
	Index      int    `json:"-"` // in the list of waivers
	Rule       string `json:"rule"`
	Subject    string `json:"subject"`
	Reason     string `json:"reason"`
	ApprovedBy string `json:"approved_by"`
	Expires    string `json:"expires"` // the last day on which it holds, such as 2027-03-31
	DownTo     Number `json:"down_to"` // the least headroom that it covers
}

// Path is the path of the waiver in the spec, such as "waivers.0".
func (w *Waiver) Path() string { return source.Join("waivers", strconv.Itoa(w.Index)) }

// LastDay is the last day on which the waiver holds, at midnight UTC.
func (w *Waiver) LastDay() time.Time {
	day, err := time.Parse(time.DateOnly, w.Expires)
	if err != nil {
		// The loader leaves out a waiver whose date does not exist; one made by
		// other means has expired.
		return time.Time{}
	}
	return day
}
