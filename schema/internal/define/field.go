package define

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// FieldOf returns the field that a path of a specification leads to, nil if there is
// none, and its name without the ids and list numbers on the way: "fuses.main.opening.max"
// is the field fuses.opening.max.
func FieldOf(path string) (name string, field *Field) {
	def := Spec()
	var names []string
	for step := range strings.SplitSeq(path, ".") {
		if def == nil {
			return "", nil
		}
		if def.Element != nil && len(def.Fields) == 0 { // an id, or a number in a list
			def = def.Element
			continue
		}
		if field = def.Field(step); field == nil || field.Misleading != "" {
			return "", nil
		}
		names = append(names, step)
		def = field.Value
	}
	return strings.Join(names, "."), field
}

// Words is what a field is, in the first words of its documentation: "breaking
// capacity for direct current".
func (f *Field) Words() string {
	words := f.Doc
	for _, end := range []string{". ", ", ", ": ", " (", "; "} {
		words, _, _ = strings.Cut(words, end)
	}
	words = strings.TrimSuffix(words, ".")
	first, size := utf8.DecodeRuneInString(words)
	if second, _ := utf8.DecodeRuneInString(words[size:]); unicode.IsUpper(second) {
		return words // an abbreviation
	}
	return string(unicode.ToLower(first)) + words[size:]
}

// Where is where a datasheet gives the field, as its documentation says; "" if it does not.
func (f *Field) Where() string {
	_, where, _ := strings.Cut(f.Doc, "Where to find it: ")
	where, _, _ = strings.Cut(where, ". ")
	return strings.TrimSuffix(where, ".")
}
