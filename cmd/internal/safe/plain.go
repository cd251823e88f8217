package safe

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Longest is how many characters of one text from outside are shown; of a longer one
// the beginning, and how long it is.
const Longest = 2000

// plain makes text fit for one line: it neither breaks the line, nor drives the
// terminal, nor hides or reorders what a reader sees. Such characters are written as
// escapes, ordinary text of any script stays as it is.
func plain(s string) string {
	if isPlain(s) {
		return s
	}
	var b strings.Builder
	var before rune
	shown := 0
	for i := 0; i < len(s); shown++ {
		if shown == Longest && utf8.RuneCountInString(s[i:]) > slack {
			b.WriteString(cutMark(s))
			break
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case unsafe(r) && !joinsEmoji(before, s[i:]):
			b.WriteString(escaped(r))
		default:
			b.WriteRune(r)
		}
		before = r
		i += size
	}
	return b.String()
}

// slack is by how much a text may be longer before it is cut: what says that it was
// cut would take as much.
const slack = 64

// cutMark says that a text was cut, and how long it is.
func cutMark(s string) string {
	return fmt.Sprintf(" ... (cut; %d characters)", utf8.RuneCountInString(s))
}

// isPlain is the answer for nearly all text, at little cost.
func isPlain(s string) bool {
	if len(s) > Longest {
		return false
	}
	for i := range len(s) {
		if c := s[i]; c < ' ' || c >= 0x7f {
			return plainRunes(s)
		}
	}
	return true
}

// plainRunes is isPlain for text outside ASCII.
func plainRunes(s string) bool {
	return strings.IndexFunc(s, unsafe) < 0
}

// unsafe reports characters that are no text: control characters, those that format,
// hide or reorder text (bidirectional controls, joiners, tags, variation selectors,
// fillers), line and paragraph separators, and what is no character at all.
func unsafe(r rune) bool {
	switch {
	case r < 0x7f:
		return r < ' '
	case r == unicode.ReplacementChar, r&0xfffe == 0xfffe, r >= 0xfdd0 && r <= 0xfdef:
		return true
	}
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point)
}

const (
	zeroWidthJoiner = '\u200d'
	textStyle       = '\ufe0e'
	emojiStyle      = '\ufe0f'
)

// joinsEmoji reports whether rest begins with one of the invisible characters of which
// emoji are made, in its place: the choice of style behind a symbol, or the joiner
// between two.
func joinsEmoji(before rune, rest string) bool {
	r, size := utf8.DecodeRuneInString(rest)
	switch r {
	case textStyle, emojiStyle:
		return isSymbol(before) || before == '#' || before == '*' || before >= '0' && before <= '9'
	case zeroWidthJoiner:
		next, _ := utf8.DecodeRuneInString(rest[size:])
		return (isSymbol(before) || before == emojiStyle) && isSymbol(next)
	}
	return false
}

// isSymbol reports symbols that may be emoji, and the tones of skin.
func isSymbol(r rune) bool {
	return r > 0x7f && unicode.In(r, unicode.So, unicode.Sk, unicode.Sm)
}

// escaped is a character as Go writes it between quotes.
func escaped(r rune) string { return strings.Trim(strconv.QuoteRuneToASCII(r), "'") }
