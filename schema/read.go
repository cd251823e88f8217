package schema

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
)

// given is a specification as it was read.
type given struct {
	root  *datum  // its values, nil when they cannot be read
	texts []*text // the files that were read, in order
	alone bool    // it is one CUE file, whose package nobody asked for
}

// readValues reads the values of a specification. What keeps them from being
// read, and what is wrong with how they are written, goes to problems.
func readValues(ctx context.Context, target Target, opts Options, problems *collector) (*given, error) {
	l := &loader{collector: problems, ctx: ctx, target: target, opts: opts, limits: opts.Limits.orDefault()}
	root, err := l.read()
	return &given{root, l.texts, target.Format == FormatCUE}, err
}

// loader reads one specification.
type loader struct {
	*collector
	ctx    context.Context
	target Target
	opts   Options
	limits Limits
	texts  []*text // in the order read
}

// read returns the values of the specification as given, or nil when they
// cannot be read.
func (l *loader) read() (*datum, error) {
	path, format := l.target.Path, l.target.Format
	var content []byte
	name := l.display(path)
	if path == Stdin {
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
		return readJSON(t, l.collector, l.limits.Depth), nil
	}
	return readYAML(t, l.collector, l.limits.Depth), nil
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

func (l *loader) display(path string) string { return l.opts.display(path) }

// tooDeep is the error of values that are nested deeper than is allowed.
func tooDeep(at span, depth int) error {
	return tooLong(at, fmt.Sprintf("values are nested more than %d deep", depth), "a specification needs no more than about ten levels")
}

// formatOfContent tells the format of standard input: by the name it was given,
// else by what it looks like. YAML is what has a space after the first colon
// and no braces at the end of it.
func formatOfContent(name string, content []byte) string {
	if format := formatOfName(name); format != "" {
		return format
	}
	content = bytes.TrimSpace(bytes.TrimPrefix(content, byteOrderMark))
	switch {
	case bytes.HasPrefix(content, []byte("{")) && slices.Contains([]byte{'"', '}'}, firstOf(bytes.TrimSpace(content[1:]))):
		return FormatJSON
	case isOfPackage(content), cueLooks.Match(content):
		return FormatCUE
	}
	return FormatYAML
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
