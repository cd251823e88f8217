package input

import (
	"context"
	"io"
)

// Limits bound what a specification may cost. The zero value means DefaultLimits.
type Limits struct {
	FileBytes int64 // size of one file
	Depth     int   // nesting of values
	Entities  int   // parts, conductors and modes of one vehicle
	Values    int   // of one file, as it is written
	Mistakes  int   // that are kept of one vehicle: with more nothing else is looked at
}

// DefaultLimits is far above what a small vehicle needs.
func DefaultLimits() Limits {
	return Limits{FileBytes: 16 << 20, Depth: 64, Entities: 50_000, Values: 500_000, Mistakes: 10_000}
}

// OrDefault fills what is not set.
func (l Limits) OrDefault() Limits {
	d := DefaultLimits()
	if l.FileBytes == 0 {
		l.FileBytes = d.FileBytes
	}
	if l.Depth == 0 {
		l.Depth = d.Depth
	}
	if l.Entities == 0 {
		l.Entities = d.Entities
	}
	if l.Values == 0 {
		l.Values = d.Values
	}
	if l.Mistakes == 0 {
		l.Mistakes = d.Mistakes
	}
	return l
}

// Options tell Read where it stands and how it may evaluate.
type Options struct {
	// Root is the folder that positions are relative to, "" for the working
	// folder. It never leaks into output as an absolute path.
	Root string
	// Files is where specifications are read from, nil for the disk.
	Files Files
	// Stdin is read for the path "-", under the name StdinName.
	Stdin     io.Reader
	StdinName string
	Limits    Limits
	// Budget is how much of a tree Find looks at; zero means TreeBudget.
	Budget Budget
	// PassedOver is told by Find of what looks like a specification and is not
	// among its targets, nil if nobody wants to know.
	PassedOver func(PassedOver)
	// Probe evaluates a CUE package that computes (one with comprehensions,
	// calls or interpolation) somewhere it can be stopped, and returns an error
	// if that took too much time or memory. Read calls it before it evaluates
	// such a package itself. Nil means that such packages are refused.
	Probe func(ctx context.Context, target Target) error
}

// Stdin is the path that stands for standard input.
const Stdin = "-"

// Target is one vehicle's specification on disk: a CUE package directory or a file.
type Target struct {
	Path   string // as the user would write it
	Format string // cue-package, cue, yaml or json
}

// FileSystem is where a run reads from.
func (o Options) FileSystem() Files {
	if o.Files == nil {
		return Machine{}
	}
	return o.Files
}

// The formats of a target.
const (
	FormatPackage = "cue-package" // a folder
	FormatCUE     = "cue"
	FormatYAML    = "yaml"
	FormatJSON    = "json"
)
