package schema

import (
	"iter"
	"slices"
	"strconv"
)

// datum is one value of a specification as it was given, whatever the format,
// before anything is known of what it should be.
type datum struct {
	kind    datumKind
	text    string  // of a text
	number  float64 // of a number
	flag    bool    // of true or false
	members []member
	items   []*datum
	index   map[string]int // into members, once there are many

	key    span // where the vehicle's own files name it
	value  span // where the vehicle's own files give its value
	shared span // where an imported package gives its value
	at     span // where the reader found it: one of these, or a template in an own file

	broken   bool // holds a mistake that is reported
	unsure   bool // part of it could not be read; what seems missing may not be
	required []requirement
}

// member is one named value of an object.
type member struct {
	name  string
	value *datum
}

// requirement is a field that an imported package asks for and nobody gave.
type requirement struct {
	name string
	at   span
}

type datumKind uint8

const (
	openKind datumKind = iota // a constraint, or a mistake, instead of a value
	nullKind                  // null
	textKind                  // a text
	numberKind
	boolKind
	listKind
	objectKind
)

// describe names the kind of a value in messages.
func (k datumKind) describe() string {
	switch k {
	case nullKind:
		return "nothing"
	case textKind:
		return "a text"
	case numberKind:
		return "a number"
	case boolKind:
		return "true or false"
	case listKind:
		return "a list"
	case objectKind:
		return "a group of fields"
	}
	return "no definite value"
}

// show renders a value in messages.
func (d *datum) show() string {
	switch d.kind {
	case textKind:
		return quoteShort(d.text)
	case numberKind:
		return formatNumber(d.number)
	case boolKind:
		return strconv.FormatBool(d.flag)
	}
	return d.kind.describe()
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

func formatNumber(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// manyMembers is the size of an object above which it is worth indexing.
const manyMembers = 16

func (d *datum) add(name string, value *datum) {
	d.members = append(d.members, member{name, value})
	if d.index != nil {
		d.index[name] = len(d.members) - 1
	} else if len(d.members) > manyMembers {
		d.index = make(map[string]int, 2*len(d.members))
		for i, m := range d.members {
			d.index[m.name] = i
		}
	}
}

// get returns a member's value, or nil.
func (d *datum) get(name string) *datum {
	if d == nil || d.kind != objectKind {
		return nil
	}
	if d.index != nil {
		if i, ok := d.index[name]; ok {
			return d.members[i].value
		}
		return nil
	}
	for _, m := range d.members {
		if m.name == name {
			return m.value
		}
	}
	return nil
}

// find follows names from a value, or returns nil.
func (d *datum) find(names ...string) *datum {
	for _, n := range names {
		d = d.get(n)
	}
	return d
}

// number returns a member's number if it is one without a mistake.
func (d *datum) num(names ...string) (float64, bool) {
	if v := d.find(names...); v != nil && v.kind == numberKind && !v.broken {
		return v.number, true
	}
	return 0, false
}

// str returns a member's text if it is one without a mistake.
func (d *datum) str(names ...string) (string, bool) {
	if v := d.find(names...); v != nil && v.kind == textKind && !v.broken {
		return v.text, true
	}
	return "", false
}

// each yields the members of an object in the order written.
func (d *datum) each() iter.Seq2[string, *datum] {
	return func(yield func(string, *datum) bool) {
		if d == nil {
			return
		}
		for _, m := range d.members {
			if !yield(m.name, m.value) {
				return
			}
		}
	}
}

// sound reports whether a value and all it holds can be relied on.
func (d *datum) sound() bool {
	if d.broken || d.unsure || d.kind == openKind {
		return false
	}
	for _, m := range d.members {
		if !m.value.sound() {
			return false
		}
	}
	for _, item := range d.items {
		if !item.sound() {
			return false
		}
	}
	return true
}

// place is where a finding on the value points: a scalar's own value, the key
// of anything larger.
func (d *datum) place() span {
	scalar := d.kind != objectKind && d.kind != listKind
	switch {
	case scalar && d.value.valid():
		return d.value
	case d.key.valid():
		return d.key
	default:
		return d.value
	}
}

// origin is where the value was really written, in whichever file: two
// findings of one origin are one mistake.
func (d *datum) origin() span {
	for _, s := range []span{d.place(), d.at, d.shared} {
		if s.valid() {
			return s
		}
	}
	return span{}
}

// step follows one element of a path: a member's name or an index.
func (d *datum) step(name string) *datum {
	if d != nil && d.kind == listKind {
		i, err := strconv.Atoi(name)
		if err != nil || i < 0 || i >= len(d.items) {
			return nil
		}
		return d.items[i]
	}
	return d.get(name)
}

func sortedMembers(d *datum) []string {
	var names []string
	for n := range d.each() {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}
