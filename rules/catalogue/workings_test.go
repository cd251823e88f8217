package catalogue_test

import (
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/headroom/rules/ruletest"
)

// A reader with a calculator comes to every value of a working from the numbers
// that are printed before it. Those have five digits; where a value is the small
// difference of two of them, what it was made of sets the tolerance.
func TestWorkingsAddUp(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(ruletest.Fleet(), "..", "sound", "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []string{"heron", "badger", "mole"} {
		paths = append(paths, filepath.Join(ruletest.Fleet(), v))
	}
	followed := 0
	for _, path := range paths {
		for _, r := range soundResults(t, path) {
			for _, s := range r.Working {
				if s.Numbers == "" || strings.Contains(s.Numbers, " A for ") {
					continue // nothing to calculate, or a cycle, which its formula steps through
				}
				got, largest, err := calculate(s.Numbers)
				if err != nil {
					t.Errorf("%s: %s: %s = %s: %v", filepath.Base(path), r.Key(), s.Symbol, s.Numbers, err)
					continue
				}
				followed++
				if math.Abs(got-s.Value) > max(2e-4*math.Abs(s.Value), 5e-5*largest) {
					t.Errorf("%s: %s: %s = %s = %v, printed %v", filepath.Base(path), r.Key(), s.Symbol, s.Numbers, got, s.Value)
				}
			}
		}
	}
	if followed < 1000 {
		t.Errorf("followed %d steps only", followed)
	}
}

func TestCalculate(t *testing.T) {
	for text, want := range map[string]float64{
		"1 + 2 * 3":                    7,
		"-10 - -20":                    10,
		"2 (3 + 4)^2":                  98,
		"(0.5 (w1) + 1e-3 (k.a)) / 2":  0.2505,
		"max(1, sqrt(16), 2)":          4,
		"min(120, ln(2) * 2^-1)":       math.Ln2 / 2,
		"9 / (9.9601/1000)":            9 / 9.9601 * 1000,
		"2 sqrt(9) exp(0)":             6,
		"30 (pack, typical) + 1/4 + 1": 31.25,
	} {
		got, _, err := calculate(text)
		if err != nil || math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%s = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "1 +", "2 apples", "max(1", "1) + 2"} {
		if got, _, err := calculate(text); err == nil {
			t.Errorf("%q = %v, want an error", text, got)
		}
	}
}

// functions are those that a step may use.
const functions = " sqrt ln exp atan atanh max min "

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

func calculate(text string) (value, largest float64, err error) {
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
