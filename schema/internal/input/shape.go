package input

import (
	"bytes"
	"fmt"

	"cuelang.org/go/cue/scanner"
	"cuelang.org/go/cue/token"
)

// The parsers have no bounds of their own: they take memory by the number of values, and
// time or stack by the length of a chain. So files are looked through before.

// Excess is what a file has too much of, and where.
type Excess struct {
	From, To     int // offsets, in bytes
	Message, Fix string
}

// TooMany is what a file has too much of if it could hold more values than are allowed,
// counted by what separates them: commas, and the ends of lines that do not end in one or
// in a bracket. Nil if it has not.
func TooMany(content []byte, most int) *Excess {
	values, last := 0, byte('\n')
	for i, b := range content {
		switch b {
		case ',':
			values++
		case '\r':
			if i+1 == len(content) || content[i+1] != '\n' { // YAML ends a line there
				values++
			}
			continue
		case 0x85, 0xa8, 0xa9: // and there, as the last byte of U+0085, U+2028 or U+2029
			values++
		case '\n':
			if bytes.IndexByte([]byte(",{[(\n"), last) < 0 {
				values++
			}
		case ' ', '\t':
			continue
		}
		last = b
	}
	if values > most {
		return &Excess{0, 0, fmt.Sprintf("the file has more than %d values", most), "split the specification, or remove what does not belong to the vehicle"}
	}
	return nil
}

const (
	smallFile     = 4 << 10 // bytes: no chain in it is long
	longestChain  = 1000    // operators, selectors, labels and the like in one expression
	deepestBraces = 400     // brackets in brackets: more than the values that they may hold

	// LongestText is how many bytes one text, name or number may have.
	LongestText = 64 << 10
)

// TooChained is what a CUE file has too much of if it has an expression of more links,
// more brackets within each other or longer texts than anybody writes: the parser and the
// evaluator descend along them. Nil if it has not.
func TooChained(content []byte) *Excess {
	if len(content) < smallFile {
		return nil
	}
	var s scanner.Scanner
	s.Init(token.NewFile("", -1, len(content)), content, nil, 0)
	links := make([]int, 1, 16) // of the expression at each depth of brackets
	for {
		pos, tok, text := s.Scan()
		excess := func(message, fix string, most int) *Excess {
			return &Excess{pos.Offset(), pos.Offset() + 1, fmt.Sprintf(message, most), fix}
		}
		switch {
		case tok == token.EOF:
			return nil
		case len(text) > LongestText:
			return excess(textTooLong, shorten, LongestText)
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
			return excess("this expression has more than %d parts", "write the values out, or divide it into fields of its own", longestChain)
		}
		if tok == token.LBRACE || tok == token.LBRACK || tok == token.LPAREN {
			if links = append(links, 0); len(links) > deepestBraces {
				return excess("there are more than %d brackets within each other", "a specification needs no more than about ten levels", deepestBraces)
			}
		}
	}
}

const (
	textTooLong = "this text is longer than %d bytes"
	shorten     = "shorten it: a specification holds names, numbers and short notes"
)
