package schema

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
)

// Limits bound what a specification may cost. The zero value means DefaultLimits.
type Limits struct {
	FileBytes int64 // size of one file
	Depth     int   // nesting of values
	Entities  int   // parts, conductors and modes of one vehicle
}

// DefaultLimits is far above what a small vehicle needs.
func DefaultLimits() Limits {
	return Limits{FileBytes: 16 << 20, Depth: 64, Entities: 100_000}
}

// orDefault fills what is not set.
func (l Limits) orDefault() Limits {
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
	// PassedOver is told by Find of what looks like a specification and is not
	// among its targets, nil if nobody wants to know.
	PassedOver func(PassedOver)
	// Probe evaluates a CUE package that computes (one with comprehensions,
	// calls or interpolation) somewhere it can be stopped, and returns an error
	// if that took too much time or memory. Read calls it before it evaluates
	// such a package itself. Nil means that such packages are refused.
	Probe func(ctx context.Context, target Target) error
}

// The formats of a target.
const (
	FormatPackage = "cue-package" // a folder
	FormatCUE     = "cue"
	FormatYAML    = "yaml"
	FormatJSON    = "json"
)

// Stdin is the path that stands for standard input.
const Stdin = "-"

// Target is one vehicle's specification on disk: a CUE package directory or a file.
type Target struct {
	Path   string // as the user would write it
	Format string // cue-package, cue, yaml or json
}

// Loaded is the outcome of loading one vehicle.
type Loaded struct {
	Target   Target
	Name     string    // the vehicle's name, or the path when it has none
	Spec     *Spec     // nil when too little of the file can be read
	Problems []Problem // what is wrong with the specification, by position
	Files    []string  // the files that were read, in order
	Err      error     // the run for this vehicle could not be done
}

// Read reads, checks and decodes one specification. What is wrong with it is
// in Problems; Err says that it could not be judged at all: an unreadable
// file, an evaluation without end. Read may be called concurrently.
func Read(ctx context.Context, target Target, opts Options) (loaded *Loaded) {
	l := &loader{ctx: ctx, target: target, opts: opts, collector: newCollector(opts.Limits.orDefault())}
	loaded = &Loaded{Target: target, Name: l.display(target.Path)}
	if target.Path == Stdin {
		loaded.Name = l.stdinName()
	}
	defer func() {
		// The evaluator is large and the input may be anything: its failure
		// must not take the other vehicles down.
		if fault := recover(); fault != nil {
			loaded.Spec, loaded.Problems = nil, nil
			loaded.Err = fmt.Errorf("%s: reading it failed inside the program (%v); please report this with the file", loaded.Name, fault)
		}
	}()
	if err := ctx.Err(); err != nil {
		loaded.Err = fmt.Errorf("%s: %w", loaded.Name, err)
		return loaded
	}
	root, err := l.read()
	if err == nil {
		err = l.finish(root, loaded)
	}
	if err != nil {
		loaded.Spec, loaded.Err = nil, err
	}
	loaded.Problems = l.sorted()
	for _, t := range l.texts {
		loaded.Files = append(loaded.Files, t.name)
	}
	return loaded
}

// Evaluate evaluates a specification and forgets the outcome. The command runs
// it in a process of its own, to find out whether it ends.
func Evaluate(target Target, opts Options) error {
	opts.Probe = func(context.Context, Target) error { return nil }
	return Read(context.Background(), target, opts).Err
}

// loader reads one specification.
type loader struct {
	*collector
	ctx    context.Context
	target Target
	opts   Options
	texts  []*text // in the order read
}

// read returns the values of the specification as given, or nil when they
// cannot be read.
func (l *loader) read() (*datum, error) {
	path, format := l.target.Path, l.target.Format
	var content []byte
	name := l.display(path)
	if path == Stdin {
		name = l.stdinName()
		var err error
		if content, err = l.readAll(l.opts.Stdin, name); err != nil || content == nil {
			return nil, err
		}
		if format == "" {
			format = formatOfContent(name, content)
		}
	}
	if format == FormatPackage || format == FormatCUE {
		return l.readCUE(path, format, name, content)
	}
	if content == nil {
		var err error
		if content, err = l.readFile(path); err != nil || content == nil {
			return nil, err
		}
	}
	t := l.newText(name, content, true)
	if format == FormatJSON {
		return readJSON(t, l.collector), nil
	}
	return readYAML(t, l.collector), nil
}

func (l *loader) newText(name string, content []byte, own bool) *text {
	t := newText(name, content, own)
	l.texts = append(l.texts, t)
	return t
}

// readFile reads a file within the size allowed. It returns nil, and leaves a
// problem, for a file above it.
func (l *loader) readFile(path string) ([]byte, error) {
	f, err := l.opts.files().Open(path)
	if err != nil {
		return nil, l.unreadable(path, err)
	}
	defer f.Close() //nolint:errcheck // nothing was written
	content, err := l.readAll(f, l.display(path))
	if err != nil {
		return nil, l.unreadable(path, err)
	}
	return content, nil
}

func (l *loader) readAll(r io.Reader, name string) ([]byte, error) {
	if r == nil {
		return nil, errors.New("standard input is not available")
	}
	content, err := io.ReadAll(io.LimitReader(r, l.limits.FileBytes+1))
	if err != nil {
		return nil, err
	}
	if int64(len(content)) > l.limits.FileBytes {
		l.add(Problem{Rule: RuleTooLarge, Message: fmt.Sprintf("the file is larger than %d bytes", l.limits.FileBytes),
			Fix: "split the specification, or remove what is not a part of the vehicle", At: Position{File: name}})
		return nil, nil
	}
	if content == nil {
		content = []byte{}
	}
	return content, nil
}

func (l *loader) unreadable(path string, err error) error { return cannotRead(l.display(path), err) }

func (l *loader) display(path string) string { return displayPath(l.opts.Root, path) }

func (l *loader) stdinName() string {
	if l.opts.StdinName != "" {
		return filepath.ToSlash(l.opts.StdinName)
	}
	return "stdin"
}

// displayPath renders a path relative to the root with slashes.
func displayPath(root, path string) string {
	if root == "" && !filepath.IsAbs(path) {
		return filepath.ToSlash(filepath.Clean(path))
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	if root, err = filepath.Abs(root); err == nil {
		if relative, err := filepath.Rel(root, absolute); err == nil {
			return filepath.ToSlash(relative)
		}
	}
	return filepath.Base(path)
}

// finish checks the values and decodes them.
func (l *loader) finish(root *datum, loaded *Loaded) error {
	if root == nil {
		return nil
	}
	spec, err := specDefinition()
	if err != nil {
		return err
	}
	if root.kind != objectKind {
		l.report(Problem{Rule: RuleSyntax, Message: "the file holds " + root.show() + " where a specification is a group of fields",
			Fix: "begin with headroom: 1 and vehicle:"}, root.value, span{}, "")
		return nil
	}
	l.settle(root, "")
	if !l.rightVersion(root) || !l.rightSize(root) {
		return nil
	}
	root.value = root.get("headroom").key // where findings on the whole stand
	k := &checker{l.collector, root}
	k.object(root, spec, "", root.value)
	(&consistency{k}).run()

	s := &Spec{source: sourceMap{given: root, root: root.value.position(), broken: l.broken}}
	m := &assembly{collector: l.collector, root: root, spec: spec, parts: map[string]Part{}}
	if err := m.build(s); err != nil {
		return fmt.Errorf("%s: decoding failed inside the program: %w", loaded.Name, err)
	}
	(&referee{checker: k, parts: m.parts, ids: map[string]declared{}}).run()
	for _, prune := range m.prune {
		prune()
	}
	if name := strings.TrimSpace(s.Vehicle.Name); name != "" {
		loaded.Name = name
	}
	loaded.Spec = s
	return nil
}

// noVersion reports a file that does not say that it is a specification. One
// file of a package alone is no specification either.
func (l *loader) noVersion(root *datum) {
	p := Problem{Rule: RuleMissingField, Path: "headroom", Message: "the file has no field headroom, so it is not a specification",
		Fix: fmt.Sprintf("add headroom: %d, the version of the format", Version)}
	if len(l.texts) > 0 {
		t := l.texts[0]
		p.At = Position{File: t.name, Line: 1, Column: 1}
		if l.target.Format == FormatCUE && packageClause.Match(t.bytes) {
			p.Message = "the file has no field headroom; it is one of the files of a package"
			p.Fix = "check the package's folder, and not one file of it"
		}
	}
	if root.value.valid() {
		at := root.value
		for name, field := range root.each() {
			if strings.EqualFold(name, "headroom") {
				at = field.key
				p.Message += fmt.Sprintf("; did you mean it by %s?", name)
				p.Fix = "rename it to headroom"
			}
		}
		l.report(p, at, span{}, "")
		return
	}
	l.add(p)
}

// rightVersion checks the format version: a file of another version cannot be
// judged by these definitions.
func (l *loader) rightVersion(root *datum) bool {
	v := root.get("headroom")
	switch {
	case v == nil:
		if len(l.problems) == 0 || !root.unsure {
			l.noVersion(root)
		}
		return false
	case v.kind == numberKind && !v.broken && v.number != Version:
		l.report(Problem{Rule: RuleUnsupportedVersion, Path: "headroom",
			Message: fmt.Sprintf("the specification is of format version %s, but this program reads version %d", v.show(), Version),
			Fix:     fmt.Sprintf("write headroom: %d, or use a program that reads version %s", Version, v.show())}, v.place(), span{}, "")
		return false
	}
	return true
}

// rightSize checks the number of parts, conductors and modes.
func (l *loader) rightSize(root *datum) bool {
	count := 0
	for _, kind := range append(namedKinds(), "modes") {
		if d := root.get(kind); d != nil {
			count += len(d.members)
		}
	}
	if count <= l.limits.Entities {
		return true
	}
	l.report(Problem{Rule: RuleTooLarge, Message: fmt.Sprintf("the specification has %d parts, conductors and modes; at most %d are allowed", count, l.limits.Entities),
		Fix: "split the specification into several vehicles"}, root.get("headroom").place(), span{}, "")
	return false
}
