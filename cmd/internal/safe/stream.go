package safe

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Stream returns the last stage of a stream of lines: whatever is written to it,
// nothing of it drives a terminal, hides text or is a command to the runner that keeps
// the log. Runners take for one what begins with two colons (at the start of a line,
// behind blanks too), or with two number signs, a word and a bracket (anywhere):
// ::error::, ##[command], ##vso[...], ##teamcity[...]. A sign of it is written as an
// escape. What passes is named.
func Stream(w io.Writer, passes Passes) io.Writer {
	if s, ok := w.(*stream); ok && s.passes == passes {
		return w
	}
	return &stream{w: w, inert: inert{start: true, passes: passes}}
}

// Passes is what of the program's own passes a stream beside text.
type Passes int

// What may pass.
const (
	Text     Passes = iota // nothing else
	Colours                // the codes of [Paint]
	Commands               // annotations, see [Command]
)

// PassColours is [Colours] if there are to be any.
func PassColours(colour bool) Passes {
	if colour {
		return Colours
	}
	return Text
}

type stream struct {
	w io.Writer
	inert
}

// Write writes p as it is fit for the stream.
func (s *stream) Write(p []byte) (int, error) {
	if _, err := io.WriteString(s.w, s.of(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// inert is what is known of a stream between two pieces.
type inert struct {
	start  bool // nothing but blanks is before this in the line
	hash   bool // the sign before this was #
	passes Passes
}

// of is the next piece of the stream.
func (in *inert) of(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for i := 0; i < len(s); {
		if in.passes == Colours && s[i] == '\x1b' {
			if code := paintAt(s[i:]); code != "" {
				b.WriteString(code)
				i += len(code)
				continue
			}
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == '\n' || r == '\t':
			b.WriteRune(r)
		case r == '#' && in.hash && opens(s[i+1:]), r == ':' && in.start && !in.annotates(s[i:]):
			b.WriteString(ascii(r))
		case r < 0x7f && r >= ' ':
			b.WriteByte(s[i])
		case r == utf8.RuneError && size == 1 || unsafe(r):
			b.WriteString(plainAt(s, i, size))
		default:
			b.WriteString(s[i : i+size])
		}
		in.hash = r == '#'
		in.start = r == '\n' || in.start && unicode.IsSpace(r)
		i += size
	}
	return b.String()
}

// opens reports whether a command goes on like that behind two number signs. Where the
// piece ends before it is known, it may.
func opens(s string) bool {
	s = strings.TrimLeft(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-_")
	return s == "" || s[0] == '['
}

// annotates reports whether a line that begins with a colon is let pass.
func (in *inert) annotates(s string) bool {
	if in.passes != Commands {
		return len(s) > 1 && s[1] != ':'
	}
	return strings.HasPrefix(s, "::error ") || strings.HasPrefix(s, "::warning ") || strings.HasPrefix(s, "::notice ")
}

// plainAt is the character at a place of s as [plain] writes it there.
func plainAt(s string, at, size int) string {
	before, _ := utf8.DecodeLastRuneInString(s[:at])
	if joinsEmoji(before, s[at:]) {
		return s[at : at+size]
	}
	return plain(s[at : at+size])
}

// ascii is the escape of a sign that is ordinary text elsewhere.
func ascii(r rune) string {
	const digits = "0123456789abcdef"
	return `\u00` + string(digits[r>>4&15]) + string(digits[r&15])
}

// The codes with which text is painted.
const (
	Bold   Line = "1"
	Faint  Line = "2"
	Red    Line = "31"
	Error  Line = "1;31"
	Warn   Line = "1;33"
	Notice Line = "1;34"
)

// Paint wraps text into a code.
func Paint(code, s Line) Line { return "\x1b[" + code + "m" + s + "\x1b[0m" }

// paintAt is the code of Paint at the start of s, or "".
func paintAt(s string) string {
	for _, code := range []Line{"0", Bold, Faint, Red, Error, Warn, Notice} {
		if whole := "\x1b[" + string(code) + "m"; strings.HasPrefix(s, whole) {
			return whole
		}
	}
	return ""
}
