package schema

import (
	"bytes"
	"sort"
	"unicode/utf8"
)

// text is one file of a specification. Every position is kept as a byte offset
// into it and turned into a line and a column of code points only when asked
// for: the parsers count columns in bytes, in code points or not at all.
type text struct {
	name  string // as positions show it
	bytes []byte // without a byte order mark
	lines []int  // offset of each line's first byte
	marks []int  // code points before each block, so that one long line costs no more than many
	own   bool   // belongs to the vehicle itself, not to an imported package
}

// block is the distance in bytes between marks.
const block = 256

var byteOrderMark = []byte("\ufeff")

func newText(name string, content []byte, own bool) *text {
	t := &text{name: name, bytes: bytes.TrimPrefix(content, byteOrderMark), own: own, lines: []int{0}}
	points := 0
	for i, b := range t.bytes {
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
func (t *text) before(offset int) int {
	if len(t.marks) == 0 {
		return 0
	}
	mark := min(offset/block, len(t.marks)-1)
	points := t.marks[mark]
	for _, b := range t.bytes[mark*block : offset] {
		if utf8.RuneStart(b) {
			points++
		}
	}
	return points
}

// span is a stretch of a text. The zero span is nowhere.
type span struct {
	text     *text
	from, to int // to is 0 if unknown
}

func (s span) valid() bool { return s.text != nil }

// String returns the text that the span covers.
func (s span) String() string {
	if s.text == nil || s.to <= s.from || s.to > len(s.text.bytes) {
		return ""
	}
	return string(s.text.bytes[s.from:s.to])
}

// position renders the span's beginning. The end is given only where it is on
// the same line.
func (s span) position() Position {
	if s.text == nil {
		return Position{}
	}
	t := s.text
	from := min(s.from, len(t.bytes))
	line := sort.SearchInts(t.lines, from+1) // the number of lines that begin at or before it
	start := t.lines[line-1]
	p := Position{File: t.name, Line: line, Column: 1 + t.before(from) - t.before(start)}
	if s.to > from && s.to <= len(t.bytes) && bytes.IndexByte(t.bytes[from:s.to], '\n') < 0 {
		p.EndColumn = p.Column + t.before(s.to) - t.before(from)
	}
	return p
}

// line returns the span of a whole line without the white space around it.
func (t *text) line(number int) span {
	number = max(1, min(number, len(t.lines)))
	from := t.lines[number-1]
	to := len(t.bytes)
	if number < len(t.lines) {
		to = t.lines[number]
	}
	content := t.bytes[from:to]
	from += len(content) - len(bytes.TrimLeft(content, " \t"))
	to -= len(content) - len(bytes.TrimRight(content, " \t\r\n"))
	return span{t, from, max(from, to)}
}

// unclosed returns the innermost bracket that is never closed, or fallback.
func unclosed(t *text, fallback span) span {
	var open []int
	b := t.bytes
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
	return span{t, open[len(open)-1], open[len(open)-1] + 1}
}

// column returns the offset of a column of code points, counted from 1, in the
// line that begins at an offset.
func (t *text) column(start, column int) int {
	at := start
	for ; column > 1 && at < len(t.bytes); column-- {
		_, size := utf8.DecodeRune(t.bytes[at:])
		at += size
	}
	return at
}
