package report

import (
	"cmp"
	"slices"

	"example.org/headroom/rules"
)

// Passes says what a writer reads of passed checks.
type Passes int

// What may be read of passed checks, each more than the one before.
const (
	PassesCounted  Passes = iota // how many there are
	PassesTightest               // the numbers of a vehicle's few with the least margin
	PassesNumbers                // those of all
	PassesWhole                  // all of all
)

// Reading says what the writers of a report read of its results. Findings, waived
// findings and what was not checked are read by all of them, but for workings.
type Reading struct {
	Passes   Passes
	Workings rules.Workings
}

// Both is what two writers read together.
func (r Reading) Both(other Reading) Reading {
	return Reading{Passes: max(r.Passes, other.Passes), Workings: max(r.Workings, other.Workings)}
}

// Of is what is to be made of a result for such a reading. Passed checks are put in
// order by their messages, too, before they are cut down to their numbers.
func (r Reading) Of() rules.Reading {
	return rules.Reading{Passes: r.Passes > PassesCounted, Workings: r.Workings}
}

// Reduce leaves of the vehicle's results what is read. It comes last: a comparison
// with another revision needs all of them.
func (v *Vehicle) Reduce(reading Reading) {
	if reading.Passes == PassesWhole {
		return
	}
	shown := map[string]bool{}
	if reading.Passes == PassesTightest {
		shown = shownOf(Tightest(v.Results))
	}
	var kept []rules.Result
	for i := range v.Results {
		res := v.Results[i]
		if res.Verdict == rules.Passed {
			if reading.Passes == PassesCounted || reading.Passes == PassesTightest && !shown[res.Key()] {
				v.Counted++
				continue
			}
			res.Message, res.Fix, res.Related, res.Working = "", "", nil, nil
		}
		kept = append(kept, res)
	}
	v.Results = slices.Clip(kept)
}

// TightestShown is how many headrooms of a vehicle a summary shows.
const TightestShown = 5

// shownOf are the keys of the results that a summary shows of those that are
// ordered by margin, and of the first that is more than a note.
func shownOf(rated []rules.Result) map[string]bool {
	shown := map[string]bool{}
	for _, res := range rated[:min(TightestShown, len(rated))] {
		shown[res.Key()] = true
	}
	if i := slices.IndexFunc(rated, func(res rules.Result) bool { return res.Level != rules.Note }); i >= 0 {
		shown[rated[i].Key()] = true
	}
	return shown
}

// Tightest returns the results that compare a demand with a capability, those
// with the least margin over the required headroom first.
func Tightest(results []rules.Result) []rules.Result {
	var rated []rules.Result
	for _, res := range results {
		if HasHeadroom(res) {
			rated = append(rated, res)
		}
	}
	slices.SortStableFunc(rated, func(a, b rules.Result) int {
		return cmp.Or(
			cmp.Compare(Margin(a), Margin(b)),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Subject, b.Subject),
			cmp.Compare(a.Mode, b.Mode),
		)
	})
	return rated
}
