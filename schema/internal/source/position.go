package source

import "fmt"

// Position is a place in a text file. Lines and columns count from 1; columns
// count Unicode code points, whatever the format of the file. Line 0 means the
// file as a whole.
type Position struct {
	File      string // slash-separated, relative to the root given in Options
	Line      int
	Column    int
	EndColumn int // the column after the last code point; 0 if unknown
}

// IsValid reports whether the position names a line.
func (p Position) IsValid() bool { return p.File != "" && p.Line > 0 }

// String renders the position as file:line:column, leaving out what is unknown.
func (p Position) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	default:
		return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
	}
}

// Place is a position with a word on why it matters.
type Place struct {
	Position
	Note string
}

// Problem is something wrong with a specification itself: its syntax, its
// fields, its values or its references.
type Problem struct {
	Rule    string // rule id, one of the Rule constants of this package
	Path    string // path of the value, such as "fuses.main.rated_A"
	Message string // what was expected and what was found
	Fix     string // what to do about it; may be empty
	At      Position
	Related []Place
}
