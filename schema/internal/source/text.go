package source

import (
	"bytes"
	"sort"
	"unicode/utf8"
)

// Text is one file of a specification. Every position is kept as a byte offset
// into it and turned into a line and a column of code points only when asked
// for: the parsers count columns in bytes, in code points or not at all.
type Text struct {
	Name  string // as positions show it
	Bytes []byte // without a byte order mark
	lines []int  // offset of each line's first byte
	marks []int  // code points before each block, so that one long line costs no more than many
	Own   bool   // belongs to the vehicle itself, not to an imported package
}

// block is the distance in bytes between marks.
const block = 256

// ByteOrderMark is what some editors begin a file with.
var ByteOrderMark = []byte("\ufeff")

// NewText makes a text of the content of a file.
func NewText(name string, content []byte, own bool) *Text {
	t := &Text{Name: name, Bytes: bytes.TrimPrefix(content, ByteOrderMark), Own: own, lines: []int{0}}
	points := 0
	for i, b := range t.Bytes {
		if i%block == 0 {
			t.marks = append(t.marks, points)
		}
		if b == '\n' {
			t.lines = append(t.lines, i+1)
		}
		if utf8.RuneStart(b) {
			points++
		}
	}
	return t
}

// before is the number of code points before an offset.
func (t *Text) before(offset int) int {
	if len(t.marks) == 0 {
		return 0
	}
	mark := min(offset/block, len(t.marks)-1)
	points := t.marks[mark]
	for _, b := range t.Bytes[mark*block : offset] {
		if utf8.RuneStart(b) {
			points++
		}
	}
	return points
}

// Span is a stretch of a text. The zero span is nowhere.
type Span struct {
	Text     *Text
	From, To int // To is 0 if unknown
}

// Span is a stretch of the text; to is 0 if unknown.
func (t *Text) Span(from, to int) Span { return Span{t, from, to} }

// Valid reports whether a span is somewhere.
func (s Span) Valid() bool { return s.Text != nil }

// String returns the text that the span covers.
func (s Span) String() string {
	if s.Text == nil || s.To <= s.From || s.To > len(s.Text.Bytes) {
		return ""
	}
	return string(s.Text.Bytes[s.From:s.To])
}

// Position renders the span's beginning. The end is given only where it is on
// the same line.
func (s Span) Position() Position {
	if s.Text == nil {
		return Position{}
	}
	t := s.Text
	from := min(s.From, len(t.Bytes))
	line := sort.SearchInts(t.lines, from+1) // the number of lines that begin at or before it
	start := t.lines[line-1]
	p := Position{File: t.Name, Line: line, Column: 1 + t.before(from) - t.before(start)}
	if s.To > from && s.To <= len(t.Bytes) && bytes.IndexByte(t.Bytes[from:s.To], '\n') < 0 {
		p.EndColumn = p.Column + t.before(s.To) - t.before(from)
	}
	return p
}

// Line returns the span of a whole line without the white space around it.
func (t *Text) Line(number int) Span {
	number = max(1, min(number, len(t.lines)))
	from := t.lines[number-1]
	to := len(t.Bytes)
	if number < len(t.lines) {
		to = t.lines[number]
	}
	content := t.Bytes[from:to]
	from += len(content) - len(bytes.TrimLeft(content, " \t"))
	to -= len(content) - len(bytes.TrimRight(content, " \t\r\n"))
	return Span{t, from, max(from, to)}
}

// Unclosed returns the innermost bracket that is never closed, or fallback.
func Unclosed(t *Text, fallback Span) Span {
	var open []int
	b := t.Bytes
	for i := 0; i < len(b); i++ {
		switch c := b[i]; c {
		case '{', '[':
			open = append(open, i)
		case '}', ']':
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		case '"':
			for i++; i < len(b) && b[i] != c && b[i] != '\n'; i++ {
				if b[i] == '\\' {
					i++
				}
			}
		case '/', '#':
			if c == '/' && (i+1 >= len(b) || b[i+1] != '/') {
				continue
			}
			for i < len(b) && b[i] != '\n' {
				i++
			}
		}
	}
	if len(open) == 0 {
		return fallback
	}
	return Span{t, open[len(open)-1], open[len(open)-1] + 1}
}

// Column returns the offset of a column of code points, counted from 1, in the
// line that begins at an offset.
func (t *Text) Column(start, column int) int {
	at := start
	if column > block { // from the last mark before it, else one long line costs its square
		points := t.before(start) + column - 1
		mark := max(0, sort.SearchInts(t.marks, points)-1)
		if mark*block > start {
			at, column = mark*block, points-t.marks[mark]+1
			for at < len(t.Bytes) && !utf8.RuneStart(t.Bytes[at]) { // a mark may be within a code point
				at++
			}
		}
	}
	for ; column > 1 && at < len(t.Bytes); column-- {
		_, size := utf8.DecodeRune(t.Bytes[at:])
		at += size
	}
	return at
}
