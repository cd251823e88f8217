package cli

import (
	"strings"
	"unicode/utf8"
)

// wrap breaks text at blanks into indented lines of at most width columns;
// line breaks of the text stay.
func wrap(text string, width int, indent string) string {
	var b strings.Builder
	for paragraph := range strings.SplitSeq(strings.TrimSpace(text), "\n") {
		column := 0
		for _, word := range strings.Fields(paragraph) {
			n := utf8.RuneCountInString(word)
			switch {
			case column == 0:
				b.WriteString(indent)
				column = len(indent)
			case column+1+n > width:
				b.WriteString("\n" + indent)
				column = len(indent)
			default:
				b.WriteByte(' ')
				column++
			}
			b.WriteString(word)
			column += n
		}
		b.WriteByte('\n')
	}
	return b.String()
}
