package schema

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// collector gathers the problems of one specification.
type collector struct {
	problems []Problem
	places   []span // of each problem
	origins  map[origin]int
	broken   map[string]bool // entities that hold a mistake
	pending  map[*datum][]pending
}

// origin identifies a mistake: what is wrong, and where it was really written.
type origin struct {
	rule string
	name string
	text *text
	from int
}

func newCollector() *collector {
	return &collector{origins: map[origin]int{}, broken: map[string]bool{}, pending: map[*datum][]pending{}}
}

// none reports whether nothing was found.
func (c *collector) none() bool { return len(c.problems) == 0 }

// isBroken reports whether the entity of a path, such as "fuses.main", holds a mistake.
func (c *collector) isBroken(entity string) bool { return c.broken[entity] }

// add records a problem that has its position.
func (c *collector) add(p Problem) {
	c.problems = append(c.problems, p)
	c.places = append(c.places, span{})
	c.breakEntity(p.Path)
}

// report records a problem at a place; origin is where the mistake was really
// written. The same mistake seen again, through a second use of a shared part
// or of an anchor, adds its place to the first.
func (c *collector) report(p Problem, at, from span, name string) {
	c.breakEntity(p.Path)
	if from.valid() {
		key := origin{p.Rule, name, from.text, from.from}
		if i, again := c.origins[key]; again {
			if at.valid() && at != c.places[i] && len(c.problems[i].Related) < 10 {
				note := "the same here"
				if p.Path != "" {
					note = "the same for " + p.Path
				}
				c.problems[i].Related = append(c.problems[i].Related, Place{at.position(), note})
			}
			return
		}
		c.origins[key] = len(c.problems)
	}
	p.At = at.position()
	c.problems = append(c.problems, p)
	c.places = append(c.places, at)
}

// breakEntity notes that a part, conductor, mode or other entity holds a mistake.
func (c *collector) breakEntity(path string) {
	if e := entityOf(path); e != "" {
		c.broken[e] = true
	}
}

// entityOf cuts a path to the entity that it lies in: "fuses.main" of
// "fuses.main.rated_A"; the vehicle and the policy are entities themselves.
func entityOf(path string) string {
	kind, rest, below := strings.Cut(path, ".")
	if kind == "vehicle" || kind == "policy" || kind == "cycle" {
		return kind
	}
	if !below {
		return ""
	}
	id, _, _ := strings.Cut(rest, ".")
	return kind + "." + id
}

// pending is a problem of a value whose path is not known yet.
type pending struct {
	problem    Problem
	at, from   span
	alsoBroken []string // paths below the value's own
}

// later keeps a problem until the path of its value is known.
func (c *collector) later(d *datum, p Problem, at, from span) {
	d.broken = true
	c.pending[d] = append(c.pending[d], pending{problem: p, at: at, from: from})
}

// settle reports what was kept, now that the paths are known.
func (c *collector) settle(d *datum, path string) {
	if len(c.pending) == 0 {
		return
	}
	for _, p := range c.pending[d] {
		p.problem.Path = path
		p.problem.Message = strings.ReplaceAll(p.problem.Message, "%PATH%", path)
		c.report(p.problem, p.at, p.from, "")
		for _, below := range p.alsoBroken {
			c.breakEntity(join(path, below))
		}
	}
	delete(c.pending, d)
	for name, value := range d.each() {
		c.settle(value, join(path, name))
	}
	for i, item := range d.items {
		c.settle(item, join(path, fmt.Sprint(i)))
	}
}

// syntax records a mistake in the syntax of a file.
func (c *collector) syntax(t *text, err error) {
	var s *syntaxError
	if !errors.As(err, &s) {
		c.add(Problem{Rule: RuleSyntax, Message: err.Error(), At: Position{File: t.name}})
		return
	}
	rule := RuleSyntax
	if errors.As(err, new(*limitError)) {
		rule = RuleTooLarge
	}
	c.add(Problem{Rule: rule, Message: s.message, Fix: s.fix, At: s.at.position()})
}

// limitError is a syntaxError of a file that is larger than is allowed.
type limitError struct{ *syntaxError }

func (e *limitError) Unwrap() error { return e.syntaxError }

// tooLong is the error of a file that is above a limit.
func tooLong(at span, message, fix string) error {
	return &limitError{&syntaxError{at, message, fix}}
}

// forget drops what was kept.
func (c *collector) forget() { clear(c.pending) }

// settleAside reports what was kept of a value that is no part of the specification's
// own, such as one of a definition.
func (c *collector) settleAside(d *datum) {
	for _, p := range c.pending[d] {
		p.problem.Path = ""
		c.report(p.problem, p.at, p.from, "")
	}
	delete(c.pending, d)
}

// duplicateKey records that a name stands twice in one group, and joins the
// second group with the first so that nothing of it is lost to the checks.
func (c *collector) duplicateKey(name string, first, second *datum) {
	p := Problem{
		Rule:    RuleDuplicateKey,
		Message: fmt.Sprintf("%s is given twice in the same group; which of the two counts is not clear", quote(name)),
		Fix:     "keep one, or join the two",
		Related: []Place{{first.key.position(), "the first is here"}},
	}
	var twice []string
	groups := first.kind == objectKind && second.kind == objectKind
	if groups {
		twice = joinGroups(first, second, "")
	}
	var both []string
	for _, path := range twice {
		if !strings.Contains(path, ".") {
			both = append(both, path)
		}
	}
	if both != nil {
		p.Message += "; both hold " + strings.Join(both, ", ")
	}
	c.later(first, p, second.key, second.key)
	first.broken = !groups // what joined groups hold can be read
	c.pending[first][len(c.pending[first])-1].alsoBroken = twice
}

// joinGroups adds the fields of a second group to a first, and returns the
// paths below it of what both give. Their values can't be trusted.
func joinGroups(first, second *datum, path string) (twice []string) {
	for name, v := range second.each() {
		there := first.get(name)
		switch {
		case there == nil:
			first.add(name, v)
		case there.kind == objectKind && v.kind == objectKind:
			twice = append(twice, join(path, name))
			twice = append(twice, joinGroups(there, v, join(path, name))...)
		default:
			there.broken = true
			twice = append(twice, join(path, name))
		}
	}
	return twice
}

// spelling records a scalar that is written so that it can be misread.
func (c *collector) spelling(d *datum, message, fix string) {
	c.later(d, Problem{Rule: RuleWrongType, Message: "%PATH%: " + message, Fix: fix}, d.value, d.value)
}

// tooLarge records a number that no computer number can hold.
func (c *collector) tooLarge(d *datum, written string) {
	c.later(d, Problem{Rule: RuleOutOfRange, Message: fmt.Sprintf("%%PATH%% is %s, which is not a number that can be computed with", written), Fix: "give the value from the datasheet"}, d.origin(), d.origin())
}

// sorted returns the problems by position, then path.
func (c *collector) sorted() []Problem {
	slices.SortStableFunc(c.problems, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File), cmp.Compare(a.At.Line, b.At.Line), cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.Path, b.Path), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message),
		)
	})
	return c.problems
}

// syntaxError is a mistake in the syntax of a file.
type syntaxError struct {
	at      span
	message string
	fix     string
}

func (e *syntaxError) Error() string { return e.message }
