package report

import (
	"example.org/headroom/rules"
)

// History is the commits that moved one check, as plain data.
type History struct {
	Version string // of the program
	From    string // the revision that it starts at, as the user named it
	Rule    string
	Subject string
	Name    string       // of the vehicle, at From
	Path    string       // of the vehicle, at From
	Now     rules.Result // at From
	// Threshold is the relative change from which on a headroom counts as moved.
	Threshold float64
	Commits   []Commit // newest first
	Looked    int      // commits looked at, those that changed nothing among them
	End       HistoryEnd
	Remedy    string // what to do for a longer history, where the clone ends it
}

// HistoryEnd says why a history has no older commits.
type HistoryEnd string

// The ends of a history.
const (
	AtFirst   HistoryEnd = "first-commit" // there are none
	AtShallow HistoryEnd = "shallow"      // this clone does not have them
	AtLimit   HistoryEnd = "limit"        // they were not asked for
)

// CommitState is what a commit did to a check.
type CommitState string

// The states of a commit.
const (
	Moved      CommitState = "moved"
	Began      CommitState = "began"      // the check, or its vehicle, is not in the commit before
	Ended      CommitState = "ended"      // it was in the commit before, and came back later
	Relocated  CommitState = "renamed"    // the vehicle moved to another path, nothing else
	Unloadable CommitState = "unreadable" // the vehicle does not load
	Oldest     CommitState = "oldest"     // no commit before it is known
)

// Commit is one commit of a history.
type Commit struct {
	Hash    string
	Date    string // of the author, as 2026-03-14
	Message string // its first line
	State   CommitState
	Path    string // of the vehicle at this commit
	OldPath string // before it, if elsewhere
	// Result is the check at this commit; before it, where that ended it.
	Result rules.Result
	Move   Move   // of a commit that moved the check
	Edits  []Edit // what that commit changed in the vehicle
	Inputs []Edit // those of the edits that stand in the check's working
	Why    string // why the vehicle does not load
	What   string // what began or ended: "the check" or "the vehicle"
	// Against is the commit that this one is compared with, where the ones
	// between do not load.
	Against string
	TooMany bool // too many changes to tell which one moved the check
}

// Short is the hash as far as people need it to find the commit.
func (c Commit) Short() string { return ShortHash(c.Hash) }

// ShortHash shortens the hash of a commit, by the same length everywhere: what
// git prints depends on the repository's size and settings.
func ShortHash(hash string) string { return hash[:min(10, len(hash))] }

// CountMoved is how many commits moved the check.
func (h *History) CountMoved() (n int) {
	for _, c := range h.Commits {
		if c.State == Moved {
			n++
		}
	}
	return n
}
