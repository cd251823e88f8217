package source

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Collector gathers the problems of one specification.
type Collector struct {
	Problems []Problem
	places   []Span // of each problem
	origins  map[origin]int
	Broken   map[string]bool // entities that hold a mistake
	pending  map[*Value][]pending
	waiting  int // pending problems
	most     int // problems that are kept
}

// full is the panic of a collector that has no room for a mistake more. A file with so
// many is no specification with mistakes, and whoever reads it is deep in its values.
type full struct{}

// room makes sure that there is room for a problem more.
func (c *Collector) room() {
	if len(c.Problems)+c.waiting >= c.most {
		panic(full{})
	}
}

// UntilFull does what reports problems, until there is no room for more of them. Then it
// adds one that says so, and returns false.
func (c *Collector) UntilFull(do func()) (whole bool) {
	defer func() {
		fault := recover()
		if _, ok := fault.(full); !ok {
			if fault != nil {
				panic(fault)
			}
			return
		}
		c.most++
		p := Problem{Rule: RuleTooLarge, Message: fmt.Sprintf("there are more than %d mistakes; the rest was not looked at", c.most-1),
			Fix: "check that this is a specification, and correct the first mistakes"}
		if n := len(c.Problems); n > 0 {
			p.At = c.Problems[n-1].At
		}
		for _, kept := range c.pending {
			if at := kept[0].at.Position(); !p.At.IsValid() || at.Line < p.At.Line {
				p.At = at
			}
		}
		c.Forget()
		c.Add(p)
	}()
	do()
	return true
}

// origin identifies a mistake: what is wrong, and where it was really written.
type origin struct {
	rule string
	name string
	text *Text
	from int
}

// NewCollector returns a collector that has found nothing, and has room for so many
// problems.
func NewCollector(most int) *Collector {
	return &Collector{most: most, origins: map[origin]int{}, Broken: map[string]bool{}, pending: map[*Value][]pending{}}
}

// None reports whether nothing was found.
func (c *Collector) None() bool { return len(c.Problems) == 0 }

// IsBroken reports whether the entity of a path, such as "fuses.main", holds a mistake.
func (c *Collector) IsBroken(entity string) bool { return c.Broken[entity] }

// Add records a problem that has its position.
func (c *Collector) Add(p Problem) {
	c.room()
	c.Problems = append(c.Problems, p)
	c.places = append(c.places, Span{})
	c.BreakEntity(p.Path)
}

// Report records a problem at a place; origin is where the mistake was really
// written. The same mistake seen again, through a second use of a shared part
// or of an anchor, adds its place to the first.
func (c *Collector) Report(p Problem, at, from Span, name string) {
	c.BreakEntity(p.Path)
	c.ReportAside(p, at, from, name)
}

// ReportAside is Report for a mistake that leaves all else of its entity to be relied
// on: in what nothing reads.
func (c *Collector) ReportAside(p Problem, at, from Span, name string) {
	if from.Valid() {
		key := origin{p.Rule, name, from.Text, from.From}
		if i, again := c.origins[key]; again {
			if at.Valid() && at != c.places[i] && len(c.Problems[i].Related) < 10 {
				note := "the same here"
				if p.Path != "" {
					note = "the same for " + p.Path
				}
				c.Problems[i].Related = append(c.Problems[i].Related, Place{at.Position(), note})
			}
			return
		}
		c.origins[key] = len(c.Problems)
	}
	c.room()
	p.At = at.Position()
	c.Problems = append(c.Problems, p)
	c.places = append(c.places, at)
}

// BreakEntity notes that a part, conductor, mode or other entity holds a mistake.
func (c *Collector) BreakEntity(path string) {
	if e := entityOf(path); e != "" {
		c.Broken[e] = true
	}
}

// entityOf cuts a path to the entity that it lies in: "fuses.main" of
// "fuses.main.rated_A"; the vehicle and the policy are entities themselves. Of them only
// a mistake in what has no default spoils more than one value: "" for the others.
func entityOf(path string) string {
	kind, rest, below := strings.Cut(path, ".")
	switch {
	case kind == "cycle", !below && (kind == "vehicle" || kind == "policy"):
		return kind
	case kind == "vehicle" && (rest == "use" || rest == "chassis"):
		return kind
	case !below, kind == "vehicle", kind == "policy":
		return ""
	}
	id, _, _ := strings.Cut(rest, ".")
	return kind + "." + id
}

// pending is a problem of a value whose path is not known yet.
type pending struct {
	problem    Problem
	at, from   Span
	alsoBroken []string // paths below the value's own
}

// Later keeps a problem until the path of its value is known.
func (c *Collector) Later(d *Value, p Problem, at, from Span) {
	c.room()
	c.waiting++
	d.Broken = true
	c.pending[d] = append(c.pending[d], pending{problem: p, at: at, from: from})
}

// Settle reports what was kept, now that the paths are known.
func (c *Collector) Settle(d *Value, path string) {
	if len(c.pending) == 0 {
		return
	}
	for _, p := range c.take(d) {
		p.problem.Path = path
		p.problem.Message = strings.ReplaceAll(p.problem.Message, "%PATH%", path)
		c.Report(p.problem, p.at, p.from, "")
		for _, below := range p.alsoBroken {
			c.BreakEntity(Join(path, below))
		}
	}
	for name, value := range d.Each() {
		c.Settle(value, Join(path, name))
	}
	for i, item := range d.Items {
		c.Settle(item, Join(path, fmt.Sprint(i)))
	}
}

// Syntax records a mistake in the syntax of a file.
func (c *Collector) Syntax(t *Text, err error) {
	var s *SyntaxError
	if !errors.As(err, &s) {
		c.Add(Problem{Rule: RuleSyntax, Message: err.Error(), At: Position{File: t.Name}})
		return
	}
	rule := RuleSyntax
	if errors.As(err, new(*limitError)) {
		rule = RuleTooLarge
	}
	c.Add(Problem{Rule: rule, Message: s.Message, Fix: s.Fix, At: s.At.Position()})
}

// limitError is a syntaxError of a file that is larger than is allowed.
type limitError struct{ *SyntaxError }

func (e *limitError) Unwrap() error { return e.SyntaxError }

// TooLong is the error of a file that is above a limit.
func TooLong(at Span, message, fix string) error {
	return &limitError{&SyntaxError{at, message, fix}}
}

// Forget drops what was kept.
func (c *Collector) Forget() {
	clear(c.pending)
	c.waiting = 0
}

// take takes out what was kept of a value.
func (c *Collector) take(d *Value) []pending {
	kept := c.pending[d]
	delete(c.pending, d)
	c.waiting -= len(kept)
	return kept
}

// SettleAside reports what was kept of a value that is no part of the specification's
// own, such as one of a definition.
func (c *Collector) SettleAside(d *Value) {
	for _, p := range c.take(d) {
		p.problem.Path = ""
		c.Report(p.problem, p.at, p.from, "")
	}
}

// DuplicateKey records that a name stands twice in one group, and joins the
// second group with the first so that nothing of it is lost to the checks.
func (c *Collector) DuplicateKey(name string, first, second *Value) {
	p := Problem{
		Rule:    RuleDuplicateKey,
		Message: fmt.Sprintf("%s is given twice in the same group", Quote(name)),
		Fix:     "keep one, or merge the two",
		Related: []Place{{first.Key.Position(), "the first is here"}},
	}
	var twice []string
	groups := first.Kind == ObjectKind && second.Kind == ObjectKind
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
		p.Message += "; both have " + strings.Join(both, ", ")
	}
	c.Later(first, p, second.Key, second.Key)
	first.Broken = !groups // what joined groups hold can be read
	c.pending[first][len(c.pending[first])-1].alsoBroken = twice
}

// joinGroups adds the fields of a second group to a first, and returns the
// paths below it of what both give. Their values can't be trusted.
func joinGroups(first, second *Value, path string) (twice []string) {
	for name, v := range second.Each() {
		there := first.Get(name)
		switch {
		case there == nil:
			first.Add(name, v)
		case there.Kind == ObjectKind && v.Kind == ObjectKind:
			twice = append(twice, Join(path, name))
			twice = append(twice, joinGroups(there, v, Join(path, name))...)
		default:
			there.Broken = true
			twice = append(twice, Join(path, name))
		}
	}
	return twice
}

// Spelling records a scalar that is written so that it can be misread.
func (c *Collector) Spelling(d *Value, message, fix string) {
	c.Later(d, Problem{Rule: RuleWrongType, Message: "%PATH%: " + message, Fix: fix}, d.Value, d.Value)
}

// TooLarge records a number that no computer number can hold.
func (c *Collector) TooLarge(d *Value, written string) {
	c.Later(d, Problem{Rule: RuleOutOfRange, Message: fmt.Sprintf("%%PATH%% is %s, which is not a usable number", written), Fix: "give the value from the datasheet"}, d.Origin(), d.Origin())
}

// Sorted returns the problems by position, then path.
func (c *Collector) Sorted() []Problem {
	slices.SortStableFunc(c.Problems, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File), cmp.Compare(a.At.Line, b.At.Line), cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.Path, b.Path), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message),
		)
	})
	return c.Problems
}

// SyntaxError is a mistake in the syntax of a file.
type SyntaxError struct {
	At      Span
	Message string
	Fix     string
}

func (e *SyntaxError) Error() string { return e.Message }
