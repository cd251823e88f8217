package source

import (
	"iter"
	"slices"
	"strconv"
)

// Value is one value of a specification as it was given, whatever the format,
// before anything is known of what it should be.
type Value struct {
	Kind    Kind
	Text    string  // of a text
	Number  float64 // of a number
	Flag    bool    // of true or false
	Members []member
	Items   []*Value
	index   map[string]int // into members, once there are many

	Key    Span // where the vehicle's own files name it
	Value  Span // where the vehicle's own files give its value
	Shared Span // where an imported package gives its value
	At     Span // where the reader found it: one of these, or a template in an own file

	Broken   bool // holds a mistake that is reported
	Unused   bool // nothing reads it, so that a mistake in it spoils nothing else
	Unsure   bool // part of it could not be read; what seems missing may not be
	Required []Requirement
}

// member is one named value of an object.
type member struct {
	name  string
	value *Value
}

// Requirement is a field that an imported package asks for and nobody gave.
type Requirement struct {
	Name string
	At   Span
}

// Kind is what a value is.
type Kind uint8

const (
	OpenKind Kind = iota // a constraint, or a mistake, instead of a value
	NullKind             // null
	TextKind             // a text
	NumberKind
	BoolKind
	ListKind
	ObjectKind
)

// describe names the kind of a value in messages.
func (k Kind) describe() string {
	switch k {
	case NullKind:
		return "nothing"
	case TextKind:
		return "a text"
	case NumberKind:
		return "a number"
	case BoolKind:
		return "true or false"
	case ListKind:
		return "a list"
	case ObjectKind:
		return "a group of fields"
	}
	return "no definite value"
}

// Show renders a value in messages.
func (d *Value) Show() string {
	switch d.Kind {
	case TextKind:
		return quoteShort(d.Text)
	case NumberKind:
		return FormatNumber(d.Number)
	case BoolKind:
		return strconv.FormatBool(d.Flag)
	}
	return d.Kind.describe()
}

// quoteShort quotes a text, and only the beginning of a long one: a message is no
// place to copy a file into.
func quoteShort(s string) string {
	const longest = 60
	if runes := []rune(s); len(runes) > longest {
		return strconv.Quote(string(runes[:longest])) + " ..."
	}
	return strconv.Quote(s)
}

// FormatNumber writes a number in messages.
func FormatNumber(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// manyMembers is the size of an object above which it is worth indexing.
const manyMembers = 16

// Add adds a member to an object.
func (d *Value) Add(name string, value *Value) {
	d.Members = append(d.Members, member{name, value})
	if d.index != nil {
		d.index[name] = len(d.Members) - 1
	} else if len(d.Members) > manyMembers {
		d.index = make(map[string]int, 2*len(d.Members))
		for i, m := range d.Members {
			d.index[m.name] = i
		}
	}
}

// Get returns a member's value, or nil.
func (d *Value) Get(name string) *Value {
	if d == nil || d.Kind != ObjectKind {
		return nil
	}
	if d.index != nil {
		if i, ok := d.index[name]; ok {
			return d.Members[i].value
		}
		return nil
	}
	for _, m := range d.Members {
		if m.name == name {
			return m.value
		}
	}
	return nil
}

// Find follows names from a value, or returns nil.
func (d *Value) Find(names ...string) *Value {
	for _, n := range names {
		d = d.Get(n)
	}
	return d
}

// Num returns a member's number if it is one without a mistake.
func (d *Value) Num(names ...string) (float64, bool) {
	if v := d.Find(names...); v != nil && v.Kind == NumberKind && !v.Broken {
		return v.Number, true
	}
	return 0, false
}

// Str returns a member's text if it is one without a mistake.
func (d *Value) Str(names ...string) (string, bool) {
	if v := d.Find(names...); v != nil && v.Kind == TextKind && !v.Broken {
		return v.Text, true
	}
	return "", false
}

// Each yields the members of an object in the order written.
func (d *Value) Each() iter.Seq2[string, *Value] {
	return func(yield func(string, *Value) bool) {
		if d == nil {
			return
		}
		for _, m := range d.Members {
			if !yield(m.name, m.value) {
				return
			}
		}
	}
}

// Sound reports whether a value and all it holds that is read can be relied on.
func (d *Value) Sound() bool {
	if d.Unused {
		return true
	}
	if d.Broken || d.Unsure || d.Kind == OpenKind {
		return false
	}
	for _, m := range d.Members {
		if !m.value.Sound() {
			return false
		}
	}
	for _, item := range d.Items {
		if !item.Sound() {
			return false
		}
	}
	return true
}

// Place is where a finding on the value points: a scalar's own value, the key
// of anything larger.
func (d *Value) Place() Span {
	scalar := d.Kind != ObjectKind && d.Kind != ListKind
	switch {
	case scalar && d.Value.Valid():
		return d.Value
	case d.Key.Valid():
		return d.Key
	default:
		return d.Value
	}
}

// Origin is where the value was really written, in whichever file: two
// findings of one origin are one mistake.
func (d *Value) Origin() Span {
	for _, s := range []Span{d.Place(), d.At, d.Shared} {
		if s.Valid() {
			return s
		}
	}
	return Span{}
}

// Step follows one element of a path: a member's name or an index.
func (d *Value) Step(name string) *Value {
	if d != nil && d.Kind == ListKind {
		i, err := strconv.Atoi(name)
		if err != nil || i < 0 || i >= len(d.Items) {
			return nil
		}
		return d.Items[i]
	}
	return d.Get(name)
}

// SortedMembers lists the names of an object's members in order.
func SortedMembers(d *Value) []string {
	var names []string
	for n := range d.Each() {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}

// AnyShared reports whether an imported package gives the value or one within it.
func (v *Value) AnyShared() bool {
	return v != nil && (v.Shared.Valid() || slices.ContainsFunc(v.Items, (*Value).AnyShared) ||
		slices.ContainsFunc(v.Members, func(m member) bool { return m.value.AnyShared() }))
}
