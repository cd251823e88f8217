// Package output writes reports: one file for each format, each a function of
// plain report data to an io.Writer, all held in one table.
package output

import (
	"io"
	"strings"

	"example.org/headroom/cmd/internal/report"
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
	About string // a few words for help
	Write func(io.Writer, R, Options) error
	Reads report.Reading // beside the findings
}

// DiffFormats lists the formats of a comparison, the default first.
func DiffFormats() []Format[*report.Difference] {
	return []Format[*report.Difference]{
		{Name: "text", About: "for people", Write: DiffText},
		{Name: "markdown", About: "for a comment on a pull request or a job summary", Write: DiffMarkdown},
		{Name: "sarif", About: "SARIF 2.1.0 with the state of each finding", Write: DiffSARIF, Reads: report.Reading{Workings: rules.FindingWorkings}},
		{Name: "json", About: "everything, for programs", Write: DiffJSON, Reads: report.Reading{Workings: rules.FindingWorkings}},
	}
}

// HistoryFormats lists the formats of a history, the default first.
func HistoryFormats() []Format[*report.History] {
	return []Format[*report.History]{
		{Name: "text", About: "for people", Write: HistoryText},
		{Name: "json", About: "everything, for programs", Write: HistoryJSON},
	}
}

// Formats lists the formats of a check, the default first.
func Formats() []Format[*report.Report] {
	return []Format[*report.Report]{
		{Name: "text", About: "for people and problem matchers", Write: Text},
		{Name: "sarif", About: "SARIF 2.1.0, for code scanning", Write: SARIF, Reads: report.Reading{Workings: rules.FindingWorkings}},
		{Name: "json", About: "everything, for programs", Write: JSON, Reads: report.Reading{Workings: rules.AllWorkings}},
		{Name: "markdown", About: "for a job summary", Write: Markdown, Reads: report.Reading{Passes: report.PassesTightest}},
		{Name: "github", About: "workflow commands, which become annotations", Write: GitHub},
		{Name: "gitlab", About: "a Code Quality report", Write: GitLab},
		{Name: "junit", About: "JUnit XML", Write: JUnit, Reads: report.Reading{Passes: report.PassesNumbers}},
		{Name: "dotenv", About: "counts as key=value lines", Write: Dotenv, Reads: report.Reading{Passes: report.PassesTightest}},
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

// printer writes to w until the first error, which it keeps.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) print(parts ...string) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, strings.Join(parts, ""))
	}
}
