package safe

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// LongestString is how many characters of a string JSON keeps.
const LongestString = 10000

// JSON rewrites encoded JSON so that it shows what it holds: characters that are not
// text ([Plain]), and the second of two number signs, in which the commands of runners
// begin, are escaped as JSON does, and mean the same to a reader. Of a string beyond
// [LongestString] the beginning is left, and how long it was.
func JSON(data []byte) []byte {
	if len(data) < LongestString && !needsEscape(data) {
		return data
	}
	out := make([]byte, 0, len(data)+len(data)/64)
	for len(data) > 0 {
		i := bytes.IndexByte(data, '"')
		if i < 0 {
			return append(out, data...)
		}
		out, data = append(out, data[:i]...), data[i:]
		end := stringEnd(data)
		out = appendString(out, data[:end])
		data = data[end:]
	}
	return out
}

// needsEscape reports whether anything is to be rewritten but long strings.
func needsEscape(data []byte) bool {
	return bytes.Contains(data, []byte("##")) || bytes.ContainsFunc(data, func(r rune) bool { return r >= 0x7f && unsafe(r) })
}

// stringEnd is the length of the string, quotes included, that data begins with.
func stringEnd(data []byte) int {
	for i := 1; i < len(data); i++ {
		switch data[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(data)
}

// appendString appends an encoded string.
func appendString(out, s []byte) []byte {
	long := len(s) > LongestString && utf8.RuneCount(s) > LongestString+slack
	if !long && !needsEscape(s) {
		return append(out, s...)
	}
	hash := false
	for i, shown := 0, 0; i < len(s); shown++ {
		if long && shown >= LongestString {
			return fmt.Appendf(out, ` ... (cut; %d characters)"`, utf8.RuneCount(s)-2)
		}
		r, size := utf8.DecodeRune(s[i:])
		switch {
		case r == '\\':
			size = 2
			if s[i+1] == 'u' {
				size = len(`\u0000`)
			}
			out = append(out, s[i:i+size]...)
		case r == '#' && hash, r >= 0x7f && unsafe(r):
			for _, unit := range utf16.Encode([]rune{r}) {
				out = fmt.Appendf(out, `\u%04x`, unit)
			}
		default:
			out = append(out, s[i:i+size]...)
		}
		hash = r == '#'
		i += size
	}
	return out
}

// Value keeps the letters, digits and signs of a dotenv value that mean nothing to any
// shell, and no more of it than all variables of a file have room for (a host takes
// five kilobytes).
func Value(s string) Line {
	const longest = 200
	cut := ""
	if runes := []rune(s); len(runes) > longest {
		s, cut = string(runes[:longest]), "..."
	}
	return Line(strings.Map(func(r rune) rune {
		if (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-._/@", r)) && !unsafe(r) {
			return r
		}
		return '_'
	}, s) + cut)
}

// Property is a property of a workflow command.
type Property struct {
	Name  Line
	Value string // from outside
}

// Command renders a workflow command of GitHub. Its text and properties are escaped as
// the runner undoes it: text from outside can neither end the command nor begin
// another. Lines of the text are the caller's own.
func Command(kind Line, properties []Property, lines []Line) Line {
	line := "::" + kind + " "
	for i, p := range properties {
		if i > 0 {
			line += ","
		}
		line += p.Name + "=" + escapeProperty(plain(p.Value))
	}
	return line + "::" + escapeData(Join(lines, "\n"))
}

func escapeData(s Line) Line {
	return Line(strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A").Replace(string(s)))
}

func escapeProperty(s string) Line {
	return Line(strings.NewReplacer("%", "%25", ":", "%3A", ",", "%2C").Replace(s))
}
