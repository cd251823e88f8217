package schema

import (
	"bytes"
	"encoding/json"
	"slices"
)

// likeness is what a file that nobody named seems to be.
type likeness uint8

const (
	foreign    likeness = iota // something else
	specified                  // a specification, or meant as one
	packaged                   // a file of a CUE package that is a specification
	hollow                     // nothing but comments
	unreadable                 // unknown, for it cannot be read; who reads it as a specification says why
)

// likenessOf tells what a file is by its content.
func (f *finder) likenessOf(path, format string) likeness {
	info, err := f.files.Stat(path)
	if err != nil {
		return unreadable
	}
	if !info.Mode().IsRegular() || info.Size() > f.limits.FileBytes {
		// A file of that size is hardly a specification that someone wrote; one
		// that is named itself gets a finding.
		return foreign
	}
	content, err := f.readFile(path)
	switch {
	case err != nil:
		return unreadable
	case hasVersion(content, format):
		if format == FormatCUE && packageClause.Match(content) {
			return packaged
		}
		return specified
	case format == FormatCUE: // what holds parts and no version is a library or a part of a package
		return foreign
	case isHollow(content):
		return hollow
	case holdsParts(content, format):
		return specified
	}
	return foreign
}

// isHollow reports whether a YAML or JSON file holds nothing but comments: one
// that was just made, or lost what it held.
func isHollow(content []byte) bool {
	for line := range bytes.Lines(bytes.TrimPrefix(content, byteOrderMark)) {
		line = bytes.TrimSpace(line)
		if len(line) > 0 && line[0] != '#' && !bytes.Equal(line, []byte("---")) {
			return false
		}
	}
	return true
}

// holdsParts reports whether a file has two kinds of what no file but a
// specification has, though neither headroom nor vehicle: its first lines are lost.
func holdsParts(content []byte, format string) bool {
	has := func(kind string) bool { return atMargin(kind).Match(content) }
	if format == FormatJSON {
		var fields map[string]json.RawMessage
		if json.Unmarshal(content, &fields) != nil {
			return false
		}
		has = func(kind string) bool { return fields[kind] != nil }
	}
	kinds := []string{"batteries", "fuses", "contactors", "disconnects", "shunts", "wires", "busbars"}
	return len(slices.DeleteFunc(kinds, func(kind string) bool { return !has(kind) })) >= 2
}
