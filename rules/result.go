// Package rules says what a rule, a result and a working are, and runs a list
// of rules over a spec.
package rules

import "example.org/headroom/schema"

// Level is how grave a finding is.
type Level string

// The levels, gravest first.
const (
	Error   Level = "error"   // unsafe, or will fail
	Warning Level = "warning" // likely to fail, or marginal
	Note    Level = "note"    // hygiene
)

// Rank orders levels: 3 for an error, 2 for a warning, 1 for a note, 0 else.
func (l Level) Rank() int {
	switch l {
	case Error:
		return 3
	case Warning:
		return 2
	case Note:
		return 1
	}
	return 0
}

// Verdict is the outcome of one rule on one subject.
type Verdict string

// The verdicts. Only Passed and AsDeclared say that nothing is wrong: the first that all
// data for it were there, the second that it holds if what the spec merely says is true.
// Neither of the last two says anything of the part: NotChecked lacks what refines the
// picture, CannotVouch what safety rests on. A check that is made is never CannotVouch;
// the rule about missing data makes it of what was not checked.
const (
	Passed      Verdict = "pass"
	AsDeclared  Verdict = "pass-as-declared"
	Failed      Verdict = "fail"
	Waived      Verdict = "waived"
	NotChecked  Verdict = "not-checked"
	CannotVouch Verdict = "cannot-vouch"
)

// Passes reports whether the check passed, be it as declared.
func (v Verdict) Passes() bool { return v == Passed || v == AsDeclared }

// Unmade reports whether the check could not be made.
func (v Verdict) Unmade() bool { return v == NotChecked || v == CannotVouch }

// Quantity is a number with its unit, such as 250 A.
type Quantity struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Result is one rule applied to one subject in its worst mode. Every applied
// check yields one, passes too.
type Result struct {
	Rule    string // rule id
	Subject string // id of the part or conductor, or part.terminal
	Mode    string // worst mode; empty where no mode matters
	Corner  string // the corner taken, in words: "pack full, copper cold"

	// Demand is what the subject is asked to bear, Capability what it can bear
	// there. Headroom is capability over demand (or its inverse where more is
	// asked of the subject), 0 where the check is a yes or no. Required is the
	// least headroom that passes.
	Demand     Quantity
	Capability Quantity
	Headroom   float64
	Required   float64

	Verdict Verdict
	Level   Level  // of the finding, were it to fail
	Message string // one sentence: the value, the limit, the subject
	Fix     string // what to do about it
	Missing string // what a not-checked result needs: "fuses.main.rated_V_dc"

	// Declared lists what a result that passes as declared believes though nothing in the
	// circuit shows it.
	Declared []Declaration

	Working []Step
	At      schema.Position
	Related []schema.Place
	// Primary is the rule and subject of a graver finding that this one follows
	// from; writers show it under that one.
	Primary string
	// Culprit is a part, or an element of one such as "k1.coil", that brings the
	// finding about, and with it others: what would not be found if it carried
	// nothing follows from this finding. With Turned, what would not be found if
	// it were connected the other way round.
	Culprit string
	Turned  bool
	// Waiver is the decision that accepts the finding; nil unless the verdict is
	// Waived. Message, level and place stay those of the finding.
	Waiver *Waiver
}

// Declaration is a bare yes of the spec that a result rests on.
type Declaration struct {
	Path string // "controllers.drive.inhibits_drive"
	What string // what is believed: "the drive is held back while it is plugged in"
}

// Waiver is a recorded decision to accept one finding.
type Waiver struct {
	Reason     string
	ApprovedBy string
	Expires    string        // the last day on which it holds, such as 2027-03-31
	DownTo     schema.Number // the least headroom that it covers, if it has a bound
	At         schema.Position
}

// Key identifies a result across revisions: it depends on neither lines nor wording.
func (r Result) Key() string { return r.Rule + "/" + r.Subject }

// IsFinding reports whether the result asks for action.
func (r Result) IsFinding() bool { return r.Verdict == Failed }

// Step is one line of a working: symbol, what it is, how it was computed, its
// value, and where that came from.
type Step struct {
	Symbol  string  `json:"symbol"`            // "I_z"
	What    string  `json:"what"`              // "ampacity of w1"
	Formula string  `json:"formula,omitempty"` // "sqrt((T_c - T_a) / (R * R_th))"
	Numbers string  `json:"numbers,omitempty"` // the formula with its numbers put in
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Text    string  `json:"text,omitempty"` // a value that is not a number
	Origin  Origin  `json:"origin"`
}

// OriginKind says where a number of a working came from.
type OriginKind string

// The kinds of origin.
const (
	FromSpec     OriginKind = "spec"     // a person wrote it; At says where
	FromDefault  OriginKind = "default"  // a named default; Ref names the policy value
	FromStandard OriginKind = "standard" // a table or clause; Ref names it
	FromCircuit  OriginKind = "circuit"  // the solved network; Ref names the case
	FromFormula  OriginKind = "formula"  // computed from the steps above
	FromRun      OriginKind = "run"      // of the run itself, such as its date; Ref says what sets it
	FromResult   OriginKind = "result"   // another check found it; Ref is the key of its result
)

// Origin is where a number of a working came from.
type Origin struct {
	Kind OriginKind      `json:"kind"`
	Path string          `json:"path,omitempty"` // "fuses.main.rated_A"
	Ref  string          `json:"ref,omitempty"`
	At   schema.Position `json:"-"`
}
