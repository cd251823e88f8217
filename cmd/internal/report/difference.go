package report

import (
	"example.org/headroom/rules"
)

// Difference is the outcome of comparing two revisions as plain data.
type Difference struct {
	Report          // of the new revision: version, rules, prefix, errors of the run
	Old, New string // how the two revisions are named: "main", "the working tree"
	// Threshold is the relative change from which on a headroom counts as moved.
	Threshold float64
	All       bool // list the headrooms that moved but stay ample too
	Pairs     []Pair
}

// PairState is what became of a vehicle.
type PairState string

// The states of a vehicle.
const (
	Same       PairState = "unchanged"
	Changed    PairState = "changed"
	Renamed    PairState = "renamed" // and perhaps changed too
	Appeared   PairState = "new"
	Gone       PairState = "gone"
	Hidden     PairState = "not checked" // in the new revision, though it is still in it
	Unreadable PairState = "unreadable"  // in the old revision; nothing to compare with
)

// Pair is one vehicle at both revisions.
type Pair struct {
	State   PairState
	Name    string
	Path    string // in the new revision; in the old one where it is gone
	OldPath string // where it was, if elsewhere
	Vehicle *Vehicle
	// Comparison is nil where one side is missing.
	*Comparison
	Why string // why there is nothing to compare with, or why it is not checked
}

// Counts of a difference by the state of findings.
type StateCounts map[State]int

// CountStates counts the findings of all pairs by their state.
func (d *Difference) CountStates() StateCounts {
	counts := StateCounts{}
	for _, p := range d.Pairs {
		if p.Comparison == nil {
			continue
		}
		for _, f := range p.Findings {
			counts[f.State]++
		}
	}
	return counts
}

// Gates reports whether the difference fails the run: FailOn "new" asks for a
// new finding at warning or above, or a check that lacks its data now, "worse" for
// a worsened finding too, "error" and "warning" for any finding of that level that
// stands in the new revision.
func (d *Difference) Gates() bool {
	for _, p := range d.Pairs {
		if p.Comparison == nil {
			continue
		}
		if lost := p.Lost(); len(lost) > 0 && (d.FailOn == "new" || d.FailOn == "worse") {
			return true
		}
		for _, f := range p.Findings {
			if f.State == Fixed || f.State == Waived {
				continue
			}
			grave := f.Level.Rank() >= rules.Warning.Rank()
			switch d.FailOn {
			case "new":
				if grave && f.State == New {
					return true
				}
			case "worse":
				if grave && (f.State == New || f.State == Worse) {
					return true
				}
			case "error", "warning":
				if f.Level.Rank() >= rules.Level(d.FailOn).Rank() {
					return true
				}
			}
		}
	}
	return false
}
