package output

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Text writes the findings for people: for each the line that editors and
// problem matchers know,
//
//	path:line:column: level: message [rule]
//
// then, indented, the numbers behind it, what to do, other places to look at
// and the findings that follow from it. Notes that say the same of several
// subjects are one. A report asked to be verbose lists each by itself, and what
// is waived and what was not checked after the findings.
func Text(w io.Writer, r *report.Report, o Options) error {
	s := NewTextStream(w, r.Since, r.Verbose, o)
	for i := range r.Vehicles {
		s.Findings(&r.Vehicles[i])
	}
	return s.Rest(r)
}

// TextStream writes the same piece by piece: the findings of each vehicle as soon as
// they are known.
type TextStream struct {
	textWriter
	to    io.Writer
	piece bytes.Buffer // written at once: a terminal shows no half of it
}

// NewTextStream begins the text of a run: compared with a revision, if one is named,
// and verbose or not.
func NewTextStream(w io.Writer, since string, verbose bool, o Options) *TextStream {
	s := &TextStream{to: safe.Stream(w, safe.PassColours(o.Colour)), textWriter: textWriter{paint: palette{on: o.Colour}, since: since, all: verbose}}
	s.w = &s.piece
	return s
}

// flush writes a piece, unless one before it could not be written.
func (t *TextStream) flush() {
	if t.err == nil {
		_, t.err = t.piece.WriteTo(t.to)
	}
}

// Findings writes those of the next vehicle.
func (t *TextStream) Findings(v *report.Vehicle) {
	if text := v.Count().DraftText(); text != "" {
		t.print(t.paint.bold(where(schema.Position{File: v.Path})), ": ", t.paint.wrap(safe.Warn, safe.Plain(text)), "\n")
	}
	for _, f := range fold(v.Findings(), t.all) {
		t.finding(f)
	}
	t.flush()
}

// Rest writes what comes after the findings of all vehicles, and returns the first
// error of the whole.
func (t *TextStream) Rest(r *report.Report) error {
	for _, res := range r.Lost() {
		t.lost(res)
	}
	if r.Verbose {
		for _, res := range r.Waived() {
			t.waived(res)
		}
		for _, res := range r.AsDeclared() {
			t.asDeclared(res)
		}
		for i := range r.Vehicles {
			t.fills(&r.Vehicles[i])
		}
	}
	t.flush()
	return t.err
}

// fills lists the checks that were not made by what is missing, what most of them wait for
// first: whoever fills it in gains them.
func (t *textWriter) fills(v *report.Vehicle) {
	list := v.Fills()
	if len(list) == 0 {
		return
	}
	t.print(t.paint.bold(where(schema.Position{File: v.Path})), ": not checked")
	if gain := report.Gain(list); gain != "" {
		t.printf("; %s", gain)
	}
	t.print(":\n")
	for _, f := range list {
		t.printf("    %s\n", fillLine(f))
	}
}

// rulesNamed is how many rules a line names.
const rulesNamed = 8

// fillLine is one thing that is missing: "breaking_A_dc of fuses main, key_fuse (vital):
// 6 checks: fuse-breaking-low".
func fillLine(f report.Fill) string {
	text := f.String()
	if f.Field == "" {
		text = "needs " + text
	} else if f.Vital {
		text += " (vital)"
	}
	text += ": " + plural(f.Checks, "check")
	named := f.Rules
	if len(named) > rulesNamed {
		named = append(slices.Clone(named[:rulesNamed-1]), fmt.Sprintf("%d others", len(named)-rulesNamed+1))
	}
	text += ": " + strings.Join(named, ", ")
	if f.Field == "" {
		text += " of " + severalOf(f.Subjects)
	}
	return text
}

// severalOf names the first few of some subjects.
func severalOf(list []string) string {
	if len(list) > subjectsNamed {
		list = append(slices.Clone(list[:subjectsNamed]), fmt.Sprintf("%d others", len(list)-subjectsNamed))
	}
	return strings.Join(list, ", ")
}

type textWriter struct {
	printer
	paint palette
	since string // the revision that findings are compared with
	all   bool   // list all that follows from a finding
}

// followShown is how many findings that follow from another are listed unless
// all are asked for: what thirty conductors have in common is corrected once.
const followShown = 12

func (t *textWriter) finding(f foldedFinding) {
	t.line(f.Result)
	switch f.Vehicle.States[f.Key()] {
	case report.Standing:
		t.print("    already in ", safe.Plain(t.since), "\n")
	case report.Worse:
		t.print("    worse than in ", safe.Plain(t.since), "\n")
	}
	if numbers := report.Numbers(f.Result); numbers != "" {
		t.print("    ", safe.Plain(numbers), "\n")
	}
	if f.Fix != "" {
		t.print("    ", t.paint.bold("fix:"), " ", safe.Plain(f.Fix), "\n")
	}
	for _, place := range f.Related {
		t.print("    see ", where(place.Position), ": ", safe.Plain(place.Note), "\n")
	}
	if n := len(f.alike); n > 0 {
		t.printf("    and %d more like it: %s (list with -v)\n", n, subjects(f.alike))
	}
	for i, res := range f.Follow {
		if i == followShown && !t.all {
			t.printf("    consequences: %d more (list with -v)\n", len(f.Follow)-i)
			break
		}
		t.print("    consequence: ", t.paint.level(res.Level), ": ", safe.Plain(res.Message), t.paint.faint(safe.Linef(" [%s]", res.Rule)))
		if res.At.File != "" && res.At != f.At {
			t.print(" (", where(res.At), ")")
		}
		t.print("\n")
	}
}

// line writes the one line of a finding that other programs read.
func (t *textWriter) line(res rules.Result) {
	if at := where(res.At); at != "" {
		t.print(t.paint.bold(at), ": ")
	}
	t.print(t.paint.level(res.Level), ": ", safe.Plain(res.Message), t.paint.faint(safe.Linef(" [%s]", res.Rule)), "\n")
}

// waived writes an accepted finding, with who accepts it, until when and why.
func (t *textWriter) waived(res rules.Result) {
	if at := where(res.At); at != "" {
		t.print(t.paint.bold(at), ": ")
	}
	t.print("waived: ", safe.Plain(res.Message), t.paint.faint(safe.Linef(" [%s]", res.Rule)), "\n")
	if numbers := report.Numbers(res); numbers != "" {
		t.print("    ", safe.Plain(numbers), "\n")
	}
	t.acceptance("    ", res.Waiver)
}

// acceptance writes the decision that accepts a finding.
func (t *textWriter) acceptance(indent safe.Line, w *rules.Waiver) {
	if w == nil {
		return
	}
	t.print(indent, safe.Plain(report.Accepted(w)), ": ", safe.Plain(w.Reason))
	if at := where(w.At); at != "" {
		t.print(" (", at, ")")
	}
	t.print("\n")
}

// lost writes a check that the older revision still had the data for.
func (t *textWriter) lost(res rules.Result) {
	if at := where(res.At); at != "" {
		t.print(t.paint.bold(at), ": ")
	}
	t.print(t.paint.level(res.Level), ": ", safe.Plain(report.LostText(res, t.since)), t.paint.faint(safe.Linef(" [%s]", res.Rule)), "\n")
}

// asDeclared writes a check that passes if what it believes is true.
func (t *textWriter) asDeclared(res rules.Result) {
	if at := where(res.At); at != "" {
		t.print(t.paint.bold(at), ": ")
	}
	t.print("passes as declared: ", safe.Plain(res.Subject), ": ", safe.Plain(report.Believed(res)), t.paint.faint(safe.Linef(" [%s]", res.Rule)), "\n")
}

// where renders a position at the start of a line. A path that could be taken
// for a command of the continuous-integration log is made to look like a path.
func where(at schema.Position) safe.Line { return safe.Plain(whereText(at)) }

func whereText(at schema.Position) string {
	s := at.String()
	if strings.HasPrefix(s, "::") || strings.HasPrefix(s, "##") {
		return "./" + s
	}
	return s
}

// palette colours words for a terminal, or leaves them alone.
type palette struct{ on bool }

func (p palette) wrap(code, s safe.Line) safe.Line {
	if !p.on {
		return s
	}
	return safe.Paint(code, s)
}

func (p palette) bold(s safe.Line) safe.Line  { return p.wrap(safe.Bold, s) }
func (p palette) faint(s safe.Line) safe.Line { return p.wrap(safe.Faint, s) }

// level colours a level: red, yellow and blue.
func (p palette) level(l rules.Level) safe.Line {
	word := safe.Plain(string(l))
	switch l {
	case rules.Error:
		return p.wrap(safe.Error, word)
	case rules.Warning:
		return p.wrap(safe.Warn, word)
	}
	return p.wrap(safe.Notice, word)
}
