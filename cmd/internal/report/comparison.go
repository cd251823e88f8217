package report

import (
	"example.org/headroom/rules"
)

// Move is a check whose headroom or verdict differs between two revisions.
type Move struct {
	Old, New rules.Result // one of them may be of no rule: the check is new or gone
	Factor   float64      // headroom after over before; 0 where one has none
	Cause    Cause
}

// Key is the rule and subject of the check.
func (m Move) Key() string {
	if m.New.Rule != "" {
		return m.New.Key()
	}
	return m.Old.Key()
}

// State is how a finding stands against the old revision.
type State string

// The states of a finding.
const (
	New      State = "new"
	Worse    State = "worse"
	Standing State = "standing"
	Fixed    State = "fixed"
	Waived   State = "waived"
)

// Compared is a finding of either revision with its state. A fixed one is that
// of the old revision.
type Compared struct {
	rules.Result
	State State
	Cause Cause // of a new or worse one
}

// Comparison is what differs between two revisions of one vehicle.
type Comparison struct {
	Edits    []Edit
	Changes  []Change
	Moves    []Move     // worst loss first
	Findings []Compared // in the order of the results
	// Paths are the ways of the traction current in the new revision.
	Paths [][]Hop
	// TooMany says that there are too many changes to tell which one moved what.
	TooMany bool
}

// Lost lists the checks that passed in the old revision and lack their data in the
// new one, or rest on a bare declaration there, notes left out: whoever takes a rating
// out of a specification takes the check of it away.
func (c *Comparison) Lost() []Move {
	var out []Move
	for _, m := range c.Moves {
		lost := m.Old.Verdict.Passes() && m.New.Verdict.Unmade() || m.Old.Verdict == rules.Passed && m.New.Verdict == rules.AsDeclared
		if lost && m.New.Level.Rank() >= rules.Warning.Rank() {
			out = append(out, m)
		}
	}
	return out
}
