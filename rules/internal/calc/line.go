package calc

import "strings"

// Line is a value with the line of a working that gives it: the formula in
// symbols, the same with its numbers put in, and the unit of the value as the
// line shows it. What is looked up has a source instead of a formula.
//
// The text is put together when it is asked for, so that a line costs next to
// nothing where nobody reads it.
type Line struct {
	Value  float64
	Unit   string
	Source string // the table or clause that publishes the value, "" for a computed one

	// Both are templates: $1, $2 ... stand for the numbers in their order, $0 for
	// the symbol that the caller has for what the line starts from.
	formula, numbers string
	symbol           string
	in               []float64
}

// line is a computed value.
func line(value float64, unit, formula, numbers string, in ...float64) Line {
	return Line{Value: value, Unit: unit, formula: formula, numbers: numbers, in: in}
}

// standard is a value of a table or clause.
func standard(value float64, unit, source string) Line {
	return Line{Value: value, Unit: unit, Source: source}
}

// Formula is the formula in symbols; "" where the numbers say it, or where the
// value is published.
func (l Line) Formula() string { return l.put(l.formula) }

// Numbers is the formula with its numbers put in, as [Term] prints them.
func (l Line) Numbers() string { return l.put(l.numbers) }

// put fills in a template.
func (l Line) put(template string) string {
	at := strings.IndexByte(template, '$')
	if at < 0 {
		return template
	}
	var text strings.Builder
	for ; at >= 0; at = strings.IndexByte(template, '$') {
		text.WriteString(template[:at])
		template = template[at+1:]
		n, digits := 0, 0
		for digits < len(template) && template[digits] >= '0' && template[digits] <= '9' {
			n = 10*n + int(template[digits]-'0')
			digits++
		}
		template = template[digits:]
		if n == 0 {
			text.WriteString(l.symbol)
		} else {
			text.WriteString(Term(l.in[n-1]))
		}
	}
	text.WriteString(template)
	return text.String()
}

// Step is one of the lines of a calculation that takes several: with the symbol
// by which the lines after it speak of it, and what it is.
type Step struct {
	Symbol, What string
	Line
}
