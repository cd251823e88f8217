// Package output writes reports: one file for each format, each a function of
// plain report data to an io.Writer, all held in one table.
package output

import (
	"io"
	"strings"

	"example.org/headroom/cmd/internal/report"
)

// Options are what a writer needs to know beside the report.
type Options struct {
	Colour bool // text may be coloured
	Wide   bool // tables keep every name whole, for they are not read on a terminal
}

// Format is a way to write a report.
type Format struct {
	Name    string
	About   string // a few words for help
	Write   func(io.Writer, *report.Report, Options) error
	Planned bool // named by the documentation, not in this version
}

// Formats lists the formats in the order in which help shows them.
func Formats() []Format {
	return []Format{
		{Name: "text", About: "for people and problem matchers", Write: Text},
		{Name: "sarif", About: "SARIF 2.1.0, for code scanning", Write: SARIF},
		{Name: "json", About: "everything, for programs", Write: JSON},
		{Name: "markdown", Planned: true},
		{Name: "junit", Planned: true},
		{Name: "github", Planned: true},
	}
}

// Find returns the format of a name.
func Find(name string) (Format, bool) {
	for _, f := range Formats() {
		if f.Name == name {
			return f, true
		}
	}
	return Format{}, false
}

// Names lists the formats that can be written.
func Names() []string {
	var names []string
	for _, f := range Formats() {
		if !f.Planned {
			names = append(names, f.Name)
		}
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
