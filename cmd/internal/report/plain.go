package report

import (
	"strconv"
	"strings"
	"unicode"
)

// Plain makes text safe to print on one line: text of a specification is
// echoed in messages, and must neither break lines, nor drive the terminal,
// nor reorder what the reader sees. Such characters are written as escapes.
func Plain(s string) string {
	if strings.IndexFunc(s, unsafe) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if unsafe(r) {
			b.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// unsafe reports control characters, and the format characters that hide or
// reorder text (the bidirectional controls among them).
func unsafe(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029' || r == unicode.ReplacementChar
}

// Sentence ends text with a full stop, if it has no end yet.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}
