package output

import (
	"slices"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
)

// suppressed returns the waived findings as suppressed results, gravest first
// and no more than a limit, and how many were left out.
func (s *sarifWriter) suppressed(limit int, seen map[string]int) (results []sarifResult, cut int) {
	if s.report.HideWaived {
		return nil, 0
	}
	var waived []report.Finding
	for i := range s.report.Vehicles {
		v := &s.report.Vehicles[i]
		for _, res := range v.Results {
			if res.Verdict == rules.Waived {
				waived = append(waived, report.Finding{Result: res, Vehicle: v})
			}
		}
	}
	slices.SortStableFunc(waived, func(a, b report.Finding) int { return b.Level.Rank() - a.Level.Rank() })
	for _, f := range waived {
		if len(results) >= limit {
			cut++
			continue
		}
		out := s.finding(f, seen)
		out.Suppressions = []sarifSuppression{s.suppression(f.Waiver)}
		results = append(results, out)
	}
	return results, cut
}

// suppression renders the decision that accepts a finding. Its kind is
// "external": "inSource" is for what the language of a source file offers.
func (s *sarifWriter) suppression(w *rules.Waiver) sarifSuppression {
	out := sarifSuppression{Kind: "external", Status: "accepted"}
	if w == nil {
		return out
	}
	out.Justification = safe.Linef("%s %s.", report.Sentence(w.Reason), upperFirst(report.Accepted(w)))
	if at := s.location(w.At); at.Physical != nil {
		out.Location = &at
	}
	out.Properties = map[string]any{"approvedBy": w.ApprovedBy, "expires": w.Expires}
	if w.DownTo.Known {
		out.Properties["downTo"] = number(w.DownTo.Value)
	}
	return out
}

// settleSuppressions makes either all results of a run say whether they are
// suppressed or none, as the standard asks (SARIF 2.1.0, section 3.27.23): an
// empty list says that a result is not.
func settleSuppressions(results []sarifResult) {
	if !slices.ContainsFunc(results, func(r sarifResult) bool { return len(r.Suppressions) > 0 }) {
		return
	}
	for i := range results {
		if results[i].Suppressions == nil {
			results[i].Suppressions = []sarifSuppression{}
		}
	}
}
