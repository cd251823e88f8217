package rules

// Reading says what of the results of a run somebody reads. What nobody reads is
// not made: verdicts, levels, headrooms and what follows from what are the same.
type Reading struct {
	// Passes says that what a passed check says is read too: its message, its remedy,
	// its related places.
	Passes   bool
	Workings Workings
}

// Workings says which workings are read.
type Workings int

// The workings that may be read.
const (
	NoWorkings      Workings = iota
	FindingWorkings          // of findings
	AllWorkings
)

// Everything is the reading of somebody who reads all of every result.
func Everything() Reading { return Reading{Passes: true, Workings: AllWorkings} }
