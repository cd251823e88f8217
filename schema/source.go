package schema

import (
	"encoding/json"
	"strconv"
	"strings"
	"sync"

	"example.org/headroom/schema/internal/source"
)

// sourceMap knows where each value of a spec was written, and what could not
// be read.
type sourceMap struct {
	root   Position      // the file as a whole
	given  *source.Value // the values as given
	broken map[string]bool

	// Rules ask for the same paths again and again, and lines and columns are
	// counted in the text.
	mutex sync.RWMutex
	found map[string]whereabouts // by path

	walked sync.Once
	shares bool // see [Spec.Shares]; once it was walked through
}

// whereabouts is where the value of a path was written.
type whereabouts struct {
	at       Position
	shared   Position
	isShared bool
	isGiven  bool
}

// find returns the whereabouts of a path.
func (m *sourceMap) find(path string) whereabouts {
	if m == nil { // a spec that was not read
		return whereabouts{}
	}
	m.mutex.RLock()
	w, ok := m.found[path]
	m.mutex.RUnlock()
	if ok {
		return w
	}
	last, d := m.follow(path)
	w.at = m.root
	if last.Valid() {
		w.at = last.Position()
	}
	if w.isGiven = d != nil; w.isGiven && d.Shared.Valid() {
		w.shared, w.isShared = d.Shared.Position(), true
	}
	m.mutex.Lock()
	if m.found == nil {
		m.found = map[string]whereabouts{}
	}
	m.found[path] = w
	m.mutex.Unlock()
	return w
}

// follow returns the value of a path, nil if there is none, and the stretch of text
// of the innermost value on the way to it that stands in the vehicle's own files.
func (m *sourceMap) follow(path string) (last source.Span, d *source.Value) {
	d = m.given
	for more := path != "" && d != nil; more; {
		var name string
		name, path, more = strings.Cut(path, ".")
		if d = d.Step(name); d == nil {
			break
		}
		if p := d.Place(); p.Valid() {
			last = p
		}
	}
	return last, d
}

// At returns where the value of a path stands in the vehicle's own files: its
// own place, else that of the nearest enclosing value that has one.
func (s *Spec) At(path string) Position { return s.source.find(path).at }

// LineOf returns the text of the line on which At finds a path, without the
// white space around it.
func (s *Spec) LineOf(path string) string {
	if s.source == nil {
		return ""
	}
	last, _ := s.source.follow(path)
	if !last.Valid() {
		return ""
	}
	return last.Text.Line(last.Position().Line).String()
}

// Shared returns where an imported package sets the value of a path.
func (s *Spec) Shared(path string) (Position, bool) {
	w := s.source.find(path)
	return w.shared, w.isShared
}

// Shares reports whether an imported package sets any value of the spec.
func (s *Spec) Shares() bool {
	m := s.source
	if m == nil {
		return false
	}
	m.walked.Do(func() { m.shares = m.given.AnyShared() })
	return m.shares
}

// Given reports whether the spec, or a package that it imports, sets the value
// of a path; false means that it is a default or absent.
func (s *Spec) Given(path string) bool { return s.source.find(path).isGiven }

// Broken lists the paths of parts, conductors and modes ("fuses.main") that
// the spec names but that hold a mistake, so that nothing can be computed of
// what depends on them. They are not in the maps of the Spec. "vehicle" and
// "policy" are listed when they hold a mistake themselves; the Spec then holds
// what of them can be read, and defaults.
func (s *Spec) Broken() []string {
	if s.source == nil {
		return nil
	}
	return sortedKeys(s.source.broken)
}

// JSON returns the specification as it was given, without defaults, as JSON
// that loads to the same Spec.
func (s *Spec) JSON() ([]byte, error) {
	return append(appendGiven(nil, s.source.given, ""), '\n'), nil
}

// appendGiven writes a value as indented JSON with sorted names.
func appendGiven(b []byte, d *source.Value, indent string) []byte {
	deeper := indent + "\t"
	switch {
	case d.Kind == source.ObjectKind && len(d.Members) == 0:
		return append(b, "{}"...)
	case d.Kind == source.ListKind && len(d.Items) == 0:
		return append(b, "[]"...)
	case d.Kind == source.ObjectKind:
		b = append(b, '{')
		for i, name := range source.SortedMembers(d) {
			b = appendLine(b, i, deeper)
			b = append(appendText(b, name), ": "...)
			b = appendGiven(b, d.Get(name), deeper)
		}
		return append(append(append(b, '\n'), indent...), '}')
	case d.Kind == source.ListKind:
		b = append(b, '[')
		for i, item := range d.Items {
			b = appendGiven(appendLine(b, i, deeper), item, deeper)
		}
		return append(append(append(b, '\n'), indent...), ']')
	}
	return appendScalar(b, d)
}

// appendLine begins the line of an entry.
func appendLine(b []byte, entry int, indent string) []byte {
	if entry > 0 {
		b = append(b, ',')
	}
	return append(append(b, '\n'), indent...)
}

func appendScalar(b []byte, d *source.Value) []byte {
	switch d.Kind {
	case source.TextKind:
		return appendText(b, d.Text)
	case source.NumberKind:
		return strconv.AppendFloat(b, d.Number, 'g', -1, 64)
	case source.BoolKind:
		return strconv.AppendBool(b, d.Flag)
	}
	return append(b, "null"...)
}

// appendText writes a JSON string. Plain ids and sizes need no escapes.
func appendText(b []byte, s string) []byte {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c >= 0x7f {
			quoted, _ := json.Marshal(s) // a string can always be encoded
			return append(b, quoted...)
		}
	}
	b = append(b, '"')
	b = append(b, s...)
	return append(b, '"')
}
