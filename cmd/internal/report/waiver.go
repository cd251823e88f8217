package report

import "example.org/headroom/rules"

// Accepted says who accepts a finding, until when and down to what:
// "accepted by workshop lead until 2027-03-31, down to a headroom of 0.92".
func Accepted(w *rules.Waiver) string {
	text := "accepted by " + w.ApprovedBy + " until " + w.Expires
	if w.DownTo.Known {
		text += ", down to a headroom of " + Requirement(w.DownTo.Value)
	}
	return text
}
