// Package output writes reports: one file for each format, each a function of
// plain report data to an io.Writer, all held in one table.
package output

import (
	"io"
	"unicode/utf8"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
)

// Options are what a writer needs to know beside the report.
type Options struct {
	Colour bool // text may be coloured
	Wide   bool // tables keep every name whole, for they are not read on a terminal
}

// Format is a way to write a report of a kind.
type Format[R any] struct {
	Name  string
	About string         // a few words for help
	Reads report.Reading // beside the findings
	write func(io.Writer, R, Options) error
	data  bool // JSON, which is no stream of lines: see [encodeJSON]
	// commands says that the lines are workflow commands.
	commands bool
}

// Write writes a report in the format. Formats of lines go through [safe.Stream] as
// their last stage, whatever their writer does.
func (f Format[R]) Write(w io.Writer, r R, o Options) error {
	switch {
	case f.commands:
		w = safe.Stream(w, safe.Commands)
	case !f.data:
		w = safe.Stream(w, safe.PassColours(o.Colour))
	}
	return f.write(w, r, o)
}

// DiffFormats lists the formats of a comparison, the default first.
func DiffFormats() []Format[*report.Difference] {
	return []Format[*report.Difference]{
		{Name: "text", About: "for people", write: DiffText},
		{Name: "markdown", About: "for a comment on a pull request or a job summary", write: DiffMarkdown},
		{Name: "sarif", About: "SARIF 2.1.0 with the state of each finding", write: DiffSARIF, data: true, Reads: report.Reading{Workings: rules.FindingWorkings}},
		{Name: "json", About: "everything, for programs", write: DiffJSON, data: true, Reads: report.Reading{Workings: rules.FindingWorkings}},
	}
}

// HistoryFormats lists the formats of a history, the default first.
func HistoryFormats() []Format[*report.History] {
	return []Format[*report.History]{
		{Name: "text", About: "for people", write: HistoryText},
		{Name: "json", About: "everything, for programs", write: HistoryJSON, data: true},
	}
}

// Formats lists the formats of a check, the default first.
func Formats() []Format[*report.Report] {
	return []Format[*report.Report]{
		{Name: "text", About: "for people and problem matchers", write: Text},
		{Name: "sarif", About: "SARIF 2.1.0, for code scanning", write: SARIF, data: true, Reads: report.Reading{Workings: rules.FindingWorkings}},
		{Name: "json", About: "everything, for programs", write: JSON, data: true, Reads: report.Reading{Workings: rules.AllWorkings}},
		{Name: "markdown", About: "for a job summary", write: Markdown, Reads: report.Reading{Passes: report.PassesTightest}},
		{Name: "github", About: "workflow commands, which become annotations", write: GitHub, commands: true},
		{Name: "gitlab", About: "a Code Quality report", write: GitLab, data: true},
		{Name: "junit", About: "JUnit XML", write: JUnit, Reads: report.Reading{Passes: report.PassesNumbers}},
		{Name: "dotenv", About: "counts as key=value lines", write: Dotenv, Reads: report.Reading{Passes: report.PassesTightest}},
	}
}

// Find returns the format of a name.
func Find[R any](formats []Format[R], name string) (Format[R], bool) {
	for _, f := range formats {
		if f.Name == name {
			return f, true
		}
	}
	return Format[R]{}, false
}

// Names lists the names of formats.
func Names[R any](formats []Format[R]) []string {
	names := make([]string, len(formats))
	for i, f := range formats {
		names[i] = f.Name
	}
	return names
}

// printer writes lines to w until the first error, which it keeps.
type printer struct {
	w   io.Writer
	err error
}

func newPrinter(w io.Writer, o Options) printer {
	return printer{w: safe.Stream(w, safe.PassColours(o.Colour))}
}

func (p *printer) print(parts ...safe.Line) {
	if p.err == nil {
		p.err = safe.Write(p.w, parts...)
	}
}

// lineWidth is how many columns a line takes.
func lineWidth(s safe.Line) int { return utf8.RuneCountInString(string(s)) }

// printf writes a format with its arguments, see [safe.Linef].
func (p *printer) printf(format safe.Line, args ...any) { p.print(safe.Linef(format, args...)) }
