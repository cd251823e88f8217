package schema

import (
	"example.org/headroom/schema/internal/source"
)

// sourceMap knows where each value of a spec was written, and what could not
// be read.
type sourceMap struct {
	root   Position      // the file as a whole
	given  *source.Value // the values as given
	broken map[string]bool
}

// At returns where the value of a path stands in the vehicle's own files: its
// own place, else that of the nearest enclosing value that has one.
func (s *Spec) At(path string) Position {
	if last := s.spanOf(path); last.Valid() {
		return last.Position()
	}
	return s.source.root
}

// spanOf is the stretch of text of the innermost value on the way to a path that
// stands in the vehicle's own files.
func (s *Spec) spanOf(path string) (last source.Span) {
	d := s.source.given
	for _, name := range source.SplitPath(path) {
		if d = d.Step(name); d == nil {
			break
		}
		if p := d.Place(); p.Valid() {
			last = p
		}
	}
	return last
}

// LineOf returns the text of the line on which At finds a path, without the
// white space around it.
func (s *Spec) LineOf(path string) string {
	last := s.spanOf(path)
	if !last.Valid() {
		return ""
	}
	return last.Text.Line(last.Position().Line).String()
}

// Shared returns where an imported package sets the value of a path.
func (s *Spec) Shared(path string) (Position, bool) {
	d := s.lookup(path)
	if d == nil || !d.Shared.Valid() {
		return Position{}, false
	}
	return d.Shared.Position(), true
}

// Given reports whether the spec, or a package that it imports, sets the value
// of a path; false means that it is a default or absent.
func (s *Spec) Given(path string) bool { return s.lookup(path) != nil }

// Broken lists the paths of parts, conductors and modes ("fuses.main") that
// the spec names but that hold a mistake, so that nothing can be computed of
// what depends on them. They are not in the maps of the Spec. "vehicle" and
// "policy" are listed when they hold a mistake themselves; the Spec then holds
// what of them can be read, and defaults.
func (s *Spec) Broken() []string {
	return sortedKeys(s.source.broken)
}

// JSON returns the specification as it was given, without defaults, as JSON
// that loads to the same Spec.
func (s *Spec) JSON() ([]byte, error) {
	return append(appendGiven(nil, s.source.given, ""), '\n'), nil
}

func (s *Spec) lookup(path string) *source.Value {
	d := s.source.given
	for _, name := range source.SplitPath(path) {
		if d = d.Step(name); d == nil {
			return nil
		}
	}
	return d
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
