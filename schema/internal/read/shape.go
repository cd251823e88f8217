package read

import (
	"bytes"
	"fmt"

	"cuelang.org/go/cue/scanner"
	"cuelang.org/go/cue/token"

	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"
)

// The parsers have no bounds of their own: they take memory by the number of values, and
// time or stack by the length of a chain. So files are looked through before.

// tooMany is an error if a file could hold more values than are allowed, counted by what
// separates them: commas, and the ends of lines that do not end in one or in a bracket.
func tooMany(t *source.Text, most int) error {
	values, last := 0, byte('\n')
	for _, b := range t.Bytes {
		switch b {
		case ',':
			values++
		case '\n':
			if bytes.IndexByte([]byte(",{[(\n"), last) < 0 {
				values++
			}
		case ' ', '\t', '\r':
			continue
		}
		last = b
	}
	if values > most {
		return source.TooLong(t.Line(1), fmt.Sprintf("the file has more than %d values", most), "split the specification, or remove what does not belong to the vehicle")
	}
	return nil
}

const (
	smallFile     = 4 << 10  // bytes: no chain in it is long
	longestChain  = 1000     // operators, selectors, labels and the like in one expression
	deepestBraces = 400      // brackets in brackets: more than the values that they may hold
	longestToken  = 64 << 10 // bytes of one text, name or number
)

// tooChained is an error if a CUE file has an expression of more links, more brackets
// within each other or longer texts than anybody writes: the parser and the evaluator
// descend along them.
func tooChained(t *source.Text) error {
	if len(t.Bytes) < smallFile {
		return nil
	}
	var s scanner.Scanner
	s.Init(token.NewFile(t.Name, -1, len(t.Bytes)), t.Bytes, nil, 0)
	links := make([]int, 1, 16) // of the expression at each depth of brackets
	for {
		pos, tok, text := s.Scan()
		at := func() source.Span { return t.Span(pos.Offset(), pos.Offset()+1) }
		switch {
		case tok == token.EOF:
			return nil
		case len(text) > longestToken:
			return source.TooLong(at(), fmt.Sprintf("this text is longer than %d bytes", longestToken), "shorten it: a specification holds names, numbers and short notes")
		case tok == token.COMMA:
			links[len(links)-1] = 0
			continue
		case tok == token.RBRACE || tok == token.RBRACK || tok == token.RPAREN:
			if len(links) > 1 {
				links = links[:len(links)-1]
			}
			continue
		}
		if links[len(links)-1]++; links[len(links)-1] > longestChain {
			return source.TooLong(at(), fmt.Sprintf("this expression has more than %d parts", longestChain), "write the values out, or divide it into fields of its own")
		}
		if tok == token.LBRACE || tok == token.LBRACK || tok == token.LPAREN {
			if links = append(links, 0); len(links) > deepestBraces {
				return source.TooLong(at(), fmt.Sprintf("there are more than %d brackets within each other", deepestBraces), "a specification needs no more than about ten levels")
			}
		}
	}
}

// longScalar is an error if a text, name or number is longer than anybody writes.
func longScalar(at source.Span, size int) error {
	if size <= longestToken {
		return nil
	}
	return source.TooLong(at, fmt.Sprintf("this text is longer than %d bytes", longestToken), "shorten it: a specification holds names, numbers and short notes")
}

// fits reports whether a file is within the limits that are known before it is parsed,
// and leaves a problem if it is not.
func (l *loader) fits(t *source.Text, format string) bool {
	err := tooMany(t, l.limits.Values)
	if err == nil && (format == input.FormatCUE || format == input.FormatPackage) {
		err = tooChained(t)
	}
	if err != nil {
		l.Syntax(t, err)
	}
	return err == nil
}
