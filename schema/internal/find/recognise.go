package find

import (
	"bytes"
	"encoding/json"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/encoding/unicode/utf32"

	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"
)

// likeness is what a file that nobody named seems to be.
type likeness uint8

const (
	foreign    likeness = iota // something else
	specified                  // a specification, or meant as one
	packaged                   // a file of a CUE package that is a specification
	hollow                     // nothing but comments
	unreadable                 // unknown, for it cannot be read; who reads it as a specification says why
	outside                    // a link that leads out of the repository
	special                    // a pipe, a device or a folder by the name of a file
)

// likenessOf tells what a file is by its content.
func (f *finder) likenessOf(path, format string) likeness {
	info, err := f.files.Stat(path)
	switch {
	case input.IsOutside(err):
		return outside
	case err != nil:
		return unreadable
	case info.IsDir():
		return foreign
	case !info.Mode().IsRegular():
		return special
	case info.Size() > f.limits.FileBytes:
		// A file of that size is hardly a specification that someone wrote, but it
		// may be one that was made so large; who reads it says that it is too large.
		if f.mentionsParts(path) {
			return specified
		}
		return foreign
	}
	content, err := input.ReadFile(f.files, path, f.limits.FileBytes)
	if err != nil {
		return unreadable
	}
	content = PlainText(content)
	switch {
	case hasVersion(content, format):
		if format == input.FormatCUE && input.IsOfPackage(content) {
			return packaged
		}
		return specified
	case format == input.FormatCUE: // what holds parts and no version is a library or a part of a package
		return foreign
	case isHollow(content):
		return hollow
	case holdsParts(content, format):
		return specified
	}
	return foreign
}

// seemsSpecified reports whether a file that is passed over for its name or its
// place looks like a specification all the same. A note or a program that quotes
// one does not.
func (f *finder) seemsSpecified(path string) bool {
	info, err := f.files.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	if info.Size() > f.limits.FileBytes {
		return f.mentionsParts(path)
	}
	content, err := input.ReadFile(f.files, path, f.limits.FileBytes)
	if err != nil {
		return false
	}
	content = PlainText(content)
	if !IsMostlyFields(content) {
		return false
	}
	content = outdent(content)
	return numberedVersion.Match(content) || vehicleAtMargin.Match(content) && partsAtMargin.Match(content) ||
		isVehicle(content) || hasVersionInBraces(content) && bytes.Contains(content, []byte("vehicle")) ||
		// In CUE, what holds parts alone is a library or a part of a package.
		!strings.Contains(strings.ToLower(filepath.Base(path)), ".cue") && (holdsParts(content, input.FormatYAML) || holdsParts(content, input.FormatJSON))
}

// IsSpecification reports whether a file on disk is a specification, a part of
// one or of a library, or looks like one under another name.
func IsSpecification(path string) bool {
	format := input.FormatOfName(path)
	if format == input.FormatCUE {
		return true
	}
	f := &finder{files: input.Options{}.FileSystem(), limits: input.Limits{}.OrDefault()}
	if format == "" {
		return f.seemsSpecified(path)
	}
	what := f.likenessOf(path, format)
	return what == specified || what == packaged
}

var numberedVersion = regexp.MustCompile(`(?m)^["']?headroom["']?[ \t]*[:!][ \t]*["']?[0-9]`)

// IsMostlyFields reports whether a plain text is data and no prose.
func IsMostlyFields(content []byte) bool {
	lines, fields := 0, 0
	for line := range bytes.Lines(content) {
		if line = bytes.TrimSpace(line); len(line) > 0 {
			lines++
			if fieldLine.Match(line) {
				fields++
			}
		}
	}
	return fields*10 >= lines*7
}

// fieldLine matches a field, an item, a comment, a bracket, or what a CUE file
// begins with.
var fieldLine = regexp.MustCompile(`^(?:["']?[A-Za-z_][\w.\-]*["']?[ \t]*[?!]?:|[-{}\[\],#]|//|---|package |import )`)

// mentionsParts reports whether a file of any size, and in any encoding of
// Unicode, has the words of a specification.
func (f *finder) mentionsParts(path string) bool {
	file, err := f.files.Open(path)
	if err != nil {
		return false
	}
	defer file.Close() //nolint:errcheck // nothing was written
	const overlap = 64
	// Of each group one word is enough.
	wanted := [][]string{{"headroom"}, {"vehicle"}, {"batteries", "fuses", "contactors", "wires", "controllers", "converters", "loads"}}
	buffer := make([]byte, 0, 1<<20)
	for {
		kept := len(buffer)
		n, err := io.ReadFull(file, buffer[kept:cap(buffer)])
		// Wider encodings have zeros between the letters.
		narrow := bytes.ReplaceAll(buffer[:kept+n], []byte{0}, nil)
		wanted = slices.DeleteFunc(wanted, func(words []string) bool {
			return slices.ContainsFunc(words, func(word string) bool { return bytes.Contains(narrow, []byte(word)) })
		})
		if len(wanted) == 0 || err != nil {
			return len(wanted) == 0
		}
		buffer = append(buffer[:0], narrow[max(0, len(narrow)-overlap):]...)
	}
}

// PlainText is the text of a file however it was saved, to recognise it by: as
// UTF-8 without a byte order mark, with line feeds at the ends of lines, and with
// letters for what stands for letters. Bytes that are no text stay.
func PlainText(content []byte) []byte {
	if wide := encodingOf(content); wide != nil {
		if decoded, err := wide.NewDecoder().Bytes(content); err == nil {
			content = decoded
		}
	}
	content = bytes.TrimPrefix(content, source.ByteOrderMark)
	if lineEnd.Match(content) {
		content = lineEnd.ReplaceAll(content, []byte("\n"))
	}
	if bytes.IndexByte(content, '\\') < 0 {
		return content
	}
	return escapedLetter.ReplaceAllFunc(content, func(escape []byte) []byte {
		code, _ := strconv.ParseUint(string(escape[2:]), 16, 32) // the pattern has hexadecimal digits only
		return []byte{byte(code)}
	})
}

// escapedLetter matches an ASCII letter as texts in YAML, JSON and CUE may write it.
var escapedLetter = regexp.MustCompile(`\\(?:x|u00|U000000)(?:4[1-9A-Fa-f]|5[0-9Aa]|6[1-9A-Fa-f]|7[0-9Aa])`)

// lineEnd matches what some reader or editor takes for the end of a line, a line
// feed apart: CR, VT, FF, NEL, LS and PS.
var lineEnd = regexp.MustCompile(`\r\n|[\r\v\f\x{85}\x{2028}\x{2029}]`)

// encodingOf tells UTF-16 and UTF-32, which no specification is read in, by the
// zeros that they have beside ASCII letters; nil for anything else. A byte order
// mark alone makes no text wide.
func encodingOf(content []byte) encoding.Encoding {
	// Of four bytes of mostly ASCII text, these are zeros.
	var zeros [4]int
	head := content[:min(len(content), 1024)]
	for i, b := range head {
		if b == 0 {
			zeros[i%4]++
		}
	}
	many := func(at int) bool { return zeros[at]*4*10 > len(head)*6 }
	switch {
	case many(1) && many(2) && many(3):
		return utf32.UTF32(utf32.LittleEndian, utf32.IgnoreBOM)
	case many(0) && many(1) && many(2):
		return utf32.UTF32(utf32.BigEndian, utf32.IgnoreBOM)
	case many(1) && many(3):
		return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	case many(0) && many(2):
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	}
	return nil
}

// isHollow reports whether a YAML or JSON file holds nothing but comments: one
// that was just made, or lost what it held.
func isHollow(content []byte) bool {
	for line := range bytes.Lines(content) {
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
	if format == input.FormatJSON {
		var fields map[string]json.RawMessage
		if json.Unmarshal(content, &fields) != nil {
			return false
		}
		has = func(kind string) bool { return fields[kind] != nil }
	}
	kinds := []string{"batteries", "fuses", "contactors", "disconnects", "shunts", "wires", "busbars"}
	return len(slices.DeleteFunc(kinds, func(kind string) bool { return !has(kind) })) >= 2
}

// whyPassedOver says why a file of this name is not looked for specifications,
// "" for one that is, or that has nothing of the name of a specification.
func whyPassedOver(name string) string {
	lower := strings.ToLower(name)
	ending := filepath.Ext(lower)
	named := slices.ContainsFunc([]string{".cue", ".yaml", ".yml", ".json"}, func(s string) bool { return strings.Contains(lower, s) }) ||
		slices.Contains([]string{"", ".txt", ".bak", ".old", ".orig", ".off", ".disabled", ".tmp"}, ending)
	format := input.FormatOfName(name)
	switch {
	case !named:
		return ""
	case strings.HasPrefix(name, "."):
		return "names that begin with a dot are skipped"
	case format == "":
		return "its name does not end in .cue, .yaml, .yml or .json"
	case format == input.FormatCUE && !strings.HasSuffix(name, ".cue"):
		return "CUE skips files whose names end in " + filepath.Ext(name)
	case format == input.FormatCUE && strings.HasPrefix(name, "_"):
		return "CUE skips files whose names begin with _"
	case format == input.FormatCUE && !input.IsPackageFile(name):
		return "CUE skips files whose names end in _test.cue or _tool.cue"
	}
	return ""
}
