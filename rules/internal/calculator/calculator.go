// Package calculator is for tests: it works out the right-hand side of a step of a
// working as a reader with a calculator does.
package calculator

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Follow reports how the numbers of a step contradict its value, nil where they do
// not. They have five digits; where the value is the small difference of two of
// them, what it was made of sets the tolerance.
func Follow(numbers string, value float64) error {
	got, largest, err := Calculate(numbers)
	if err != nil {
		return fmt.Errorf("%s: %w", numbers, err)
	}
	if !(math.Abs(got-value) <= max(2e-4*math.Abs(value), 5e-5*largest)) {
		return fmt.Errorf("%s = %v, printed %v", numbers, got, value)
	}
	return nil
}

// functions are those that a step may use.
const functions = " sqrt ln exp atan atanh cos cosh max min "

// calculator works out the right-hand side of a step as a person would.
type calculator struct {
	tokens  []string
	largest float64 // of the terms of a sum, without their sign
}

var (
	token = regexp.MustCompile(`\d[\d.]*(?:e[-+]?\d+)?|[a-z]+|[-+*/^(),]|\S`)
	// remark is a name in brackets behind a number.
	remark = regexp.MustCompile(`(\d) \([A-Za-z_][^()]*\)`)
)

// Calculate works out a text such as "2 (3 + 4)^2 / ln(9.5)". Names in brackets
// behind a number are remarks. Largest is the largest term of its sums, without its
// sign, which bounds what the rounding of the terms can do to a small difference.
func Calculate(text string) (value, largest float64, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("%v", fault)
		}
	}()
	c := &calculator{tokens: token.FindAllString(remark.ReplaceAllString(text, "$1"), -1)}
	value = c.sum()
	if len(c.tokens) > 0 {
		return 0, 0, fmt.Errorf("not understood from %q on", c.tokens[0])
	}
	return value, c.largest, nil
}

func (c *calculator) peek() string {
	if len(c.tokens) == 0 {
		return ""
	}
	return c.tokens[0]
}

func (c *calculator) take(one string) bool {
	if c.peek() != one {
		return false
	}
	c.tokens = c.tokens[1:]
	return true
}

func (c *calculator) sum() float64 {
	v := c.product()
	for {
		sign := 1.0
		switch {
		case c.take("-"):
			sign = -1
		case !c.take("+"):
			return v
		}
		next := c.product()
		c.largest = max(c.largest, math.Abs(v), math.Abs(next))
		v += sign * next
	}
}

func (c *calculator) product() float64 {
	v := c.power()
	for {
		switch {
		case c.take("*"), c.peek() == "(", strings.Contains(functions, " "+c.peek()+" "):
			v *= c.power()
		case c.take("/"):
			v /= c.power()
		default:
			return v
		}
	}
}

func (c *calculator) power() float64 {
	if c.take("-") {
		return -c.power()
	}
	v := c.atom()
	if c.take("^") {
		return math.Pow(v, c.power())
	}
	return v
}

func (c *calculator) atom() float64 {
	name := c.peek()
	if name == "" {
		panic("unexpected end")
	}
	c.tokens = c.tokens[1:]
	if name == "(" {
		return c.list()[0]
	}
	if v, err := strconv.ParseFloat(name, 64); err == nil {
		return v
	}
	if !strings.Contains(functions, " "+name+" ") || !c.take("(") {
		panic("not understood: " + name)
	}
	switch args := c.list(); name {
	case "sqrt":
		return math.Sqrt(args[0])
	case "ln":
		return math.Log(args[0])
	case "exp":
		return math.Exp(args[0])
	case "atanh":
		return math.Atanh(args[0])
	case "atan":
		return math.Atan(args[0])
	case "cos":
		return math.Cos(args[0])
	case "cosh":
		return math.Cosh(args[0])
	default:
		v := args[0]
		for _, a := range args[1:] {
			if (name == "max") == (a > v) {
				v = a
			}
		}
		return v
	}
}

// list reads to the closing bracket.
func (c *calculator) list() []float64 {
	values := []float64{c.sum()}
	for c.take(",") {
		values = append(values, c.sum())
	}
	if !c.take(")") {
		panic("a bracket is not closed")
	}
	return values
}
