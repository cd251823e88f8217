package safe

import (
	"fmt"
	"io"
	"strings"
)

// Line is text for a terminal or a log: one line, or a part of one, or several lines
// of the program's own.
type Line string

// Markdown is a piece of a page in the markdown of code hosts.
type Markdown string

// HTML is a piece of such a page where it is HTML, as a summary that unfolds is.
type HTML string

// Message is the text of a message in SARIF (2.1.0, 3.11).
type Message string

// XML is the text of an element or an attribute, not yet escaped for markup.
type XML string

// language is a kind of text.
type language interface {
	~string
	// escape takes from a string what is more than text in the language.
	escape(string) string
}

func (Line) escape(s string) string     { return plain(s) }
func (Markdown) escape(s string) string { return inPage(plain(s), markdownLetter) }
func (HTML) escape(s string) string     { return inPage(plain(s), htmlLetter) }
func (Message) escape(s string) string  { return message(plain(s)) }
func (XML) escape(s string) string      { return plain(s) }

// Plain is text from outside as a part of a line.
func Plain(s string) Line { return of[Line](s) }

// Mark is text from outside as a part of a page.
func Mark(s string) Markdown { return of[Markdown](s) }

// Say is text from outside as a part of a SARIF message.
func Say(s string) Message { return of[Message](s) }

// Element is text from outside as that of an element or attribute of XML.
func Element(s string) XML { return of[XML](s) }

func of[L language](s string) L {
	var l L
	return L(l.escape(s))
}

// Linef, Markdownf, HTMLf, Messagef and XMLf put arguments into a format as
// [fmt.Sprintf] does. What is not of the language itself, nor a number, is taken as
// text from outside.
func Linef(format Line, args ...any) Line             { return compose(format, args) }
func Markdownf(format Markdown, args ...any) Markdown { return compose(format, args) }
func HTMLf(format HTML, args ...any) HTML             { return compose(format, args) }
func Messagef(format Message, args ...any) Message    { return compose(format, args) }
func XMLf(format XML, args ...any) XML                { return compose(format, args) }

func compose[L language](format L, args []any) L {
	safe := make([]any, len(args))
	for i, arg := range args {
		switch arg := arg.(type) {
		case L, int, int64, float64:
			safe[i] = arg
		default:
			safe[i] = of[L](fmt.Sprint(arg))
		}
	}
	return L(fmt.Sprintf(string(format), safe...))
}

// Join joins pieces of one language.
func Join[L language](list []L, between L) L {
	var b strings.Builder
	for i, piece := range list {
		if i > 0 {
			b.WriteString(string(between))
		}
		b.WriteString(string(piece))
	}
	return L(b.String())
}

// Builder puts a text together piece by piece.
type Builder[L language] struct{ b strings.Builder }

// Add adds pieces of the language.
func (b *Builder[L]) Add(pieces ...L) {
	for _, piece := range pieces {
		b.b.WriteString(string(piece))
	}
}

// Addf adds a format with its arguments, as [Linef] and its like do.
func (b *Builder[L]) Addf(format L, args ...any) { b.Add(compose(format, args)) }

// Len is how many bytes there are.
func (b *Builder[L]) Len() int { return b.b.Len() }

// Text is what was put together.
func (b *Builder[L]) Text() L { return L(b.b.String()) }

// Write writes pieces of one language to a stream at once.
func Write[L language](w io.Writer, pieces ...L) error {
	_, err := io.WriteString(w, string(Join(pieces, "")))
	return err
}

// Printf writes a line of the program's own with its arguments.
func Printf(w io.Writer, format Line, args ...any) error {
	return Write(w, compose(format, args))
}
