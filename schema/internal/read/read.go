package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"

	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"
)

// Given is a specification as it was read.
type Given struct {
	Root  *source.Value  // its values, nil when they cannot be read
	Texts []*source.Text // the files that were read, in order
	Alone bool           // it is one CUE file, whose package nobody asked for
}

// Values reads the values of a specification. What keeps them from being
// read, and what is wrong with how they are written, goes to problems.
func Values(ctx context.Context, target input.Target, opts input.Options, problems *source.Collector) (*Given, error) {
	l := &loader{Collector: problems, ctx: ctx, target: target, opts: opts, limits: opts.Limits.OrDefault()}
	var root *source.Value
	var err error
	if !problems.UntilFull(func() { root, err = l.read() }) {
		root = nil
	}
	return &Given{root, l.texts, target.Format == input.FormatCUE}, err
}

// loader reads one specification.
type loader struct {
	*source.Collector
	ctx    context.Context
	target input.Target
	opts   input.Options
	limits input.Limits
	texts  []*source.Text // in the order read
}

// read returns the values of the specification as given, or nil when they
// cannot be read.
func (l *loader) read() (*source.Value, error) {
	path, format := l.target.Path, l.target.Format
	var content []byte
	name := l.display(path)
	if path == input.Stdin {
		var err error
		if content, err = l.readAll(l.opts.Stdin, name); err != nil || content == nil {
			return nil, err
		}
		if format == "" {
			format = formatOfContent(name, content)
		}
	}
	if format == input.FormatPackage || format == input.FormatCUE {
		return l.readCUE(path, format, name, content)
	}
	if content == nil {
		var err error
		if content, err = l.readFile(path); err != nil || content == nil {
			return nil, err
		}
	}
	t := l.newText(name, content, true)
	if !l.fits(t, format) {
		return nil, nil
	}
	if format == input.FormatJSON {
		return ReadJSON(t, l.Collector, l.limits.Depth), nil
	}
	return readYAML(t, l.Collector, l.limits.Depth), nil
}

// fits reports whether a file is within the limits that are known before it is parsed,
// and leaves a problem if it is not.
func (l *loader) fits(t *source.Text, format string) bool {
	excess := input.TooMany(t.Bytes, l.limits.Values)
	if excess == nil && format == input.FormatCUE {
		excess = input.TooChained(t.Bytes)
	}
	if excess != nil {
		l.Syntax(t, source.TooLong(t.Span(excess.From, excess.To), excess.Message, excess.Fix))
	}
	return excess == nil
}

func (l *loader) newText(name string, content []byte, own bool) *source.Text {
	t := source.NewText(name, content, own)
	l.texts = append(l.texts, t)
	return t
}

// readFile reads a file within the size allowed. It returns nil, and leaves a
// problem, for a file above it.
func (l *loader) readFile(path string) ([]byte, error) {
	f, err := l.opts.FileSystem().Open(path)
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
		l.Add(source.Problem{Rule: source.RuleTooLarge, Message: fmt.Sprintf("the file is larger than %d bytes", l.limits.FileBytes),
			Fix: "split the specification, or remove what does not belong to the vehicle", At: source.Position{File: name}})
		return nil, nil
	}
	if content == nil {
		content = []byte{}
	}
	return content, nil
}

func (l *loader) unreadable(path string, err error) error {
	return input.CannotRead(l.display(path), err)
}

func (l *loader) display(path string) string { return l.opts.Display(path) }

// tooDeep is the error of values that are nested deeper than is allowed.
func tooDeep(at source.Span, depth int) error {
	return source.TooLong(at, fmt.Sprintf("values are nested more than %d deep", depth), "a specification needs no more than about ten levels")
}

// formatOfContent tells the format of standard input: by the name it was given,
// else by what it looks like. YAML is what has a space after the first colon
// and no braces at the end of it.
func formatOfContent(name string, content []byte) string {
	if format := input.FormatOfName(name); format != "" {
		return format
	}
	content = bytes.TrimSpace(bytes.TrimPrefix(content, source.ByteOrderMark))
	switch {
	case bytes.HasPrefix(content, []byte("{")) && slices.Contains([]byte{'"', '}'}, firstOf(bytes.TrimSpace(content[1:]))):
		return input.FormatJSON
	case input.IsOfPackage(content), cueLooks.Match(content):
		return input.FormatCUE
	}
	return input.FormatYAML
}

// cueLooks matches what only CUE has: a comment of two slashes, an import, or a
// struct that goes on after the line of its field.
var cueLooks = regexp.MustCompile(`(?m)^[ \t]*//|^import\b|^[A-Za-z_][A-Za-z0-9_]*:[^#\n]*\{[ \t]*$|^[a-z_]+: [a-z0-9_]+: `)

func firstOf(b []byte) byte {
	if len(b) == 0 {
		return 0
	}
	return b[0]
}
