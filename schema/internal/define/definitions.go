package define

import (
	"embed"
	"fmt"
	"regexp"
	"strings"
	"sync"

	"example.org/headroom/schema/internal/source"
)

//go:embed *.cue
var definitionFiles embed.FS

// definitionOrder lists the definition files as a reader wants them.
func definitionOrder() []string {
	return []string{
		"spec.cue", "vehicle.cue", "batteries.cue", "protection.cue", "breakers.cue", "switching.cue", "measuring.cue",
		"connectors.cue", "supplies.cue", "solar.cue", "conductors.cue", "panels.cue", "modes.cue", "waivers.cue", "policy.cue", "quantities.cue",
	}
}

// Definitions returns the definitions of the format as one CUE file of the
// package headroom. Its #Spec validates a specification in any tool that
// speaks CUE: cue vet -c -d '#Spec' definitions.cue vehicle.yaml.
func Definitions() string {
	var b strings.Builder
	fmt.Fprintf(&b, "// The definitions of the Headroom specification format, version %d.\npackage headroom\n", Version)
	for _, name := range definitionOrder() {
		content, err := definitionFiles.ReadFile(name)
		if err != nil {
			panic(fmt.Sprintf("definitions: %v", err)) // the file is part of the program
		}
		_, body, _ := strings.Cut(string(content), "package headroom\n")
		b.WriteString(body)
	}
	return b.String()
}

// Version is the format version that this program reads: the value of the
// top-level field "headroom".
const Version = 1

// Chassis is the name of the vehicle's metalwork where a conductor ends on it.
const Chassis = "chassis"

// Spec is #Spec, the definition of a whole specification.
func Spec() *Definition { return &definitionSpec }

// Definition says what a value must be. Definitions are tables in Go that a test
// of this package makes from the CUE definitions, so that a run need not read
// those, and the messages can be ours while the rules stay in one place.
type Definition struct {
	Name     string      // "#Fuse"; empty for one without a name
	Kinds    kindSet     // what it may be
	Integer  bool        // a number must be whole
	Low      bound       // of a number
	High     bound       // of a number
	Allowed  []string    // the only texts, if any
	meanings []meaning   // what some of those texts stand for
	Counts   []float64   // the only numbers, if any
	Form     *Form       // of a text
	Filled   bool        // a text or a list must not be empty
	Fields   []*Field    // of a group
	Keys     *Definition // of a map: what its keys look like
	Element  *Definition // of a map or a list
	Fallback any         // bool, string or float64; nil if there is none
}

// Field returns the field of a name, nil if the group has none.
func (def *Definition) Field(name string) *Field {
	for _, f := range def.Fields {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// Form is the form that a text must have, as a regular expression.
type Form struct {
	expression string
	once       sync.Once
	compiled   *regexp.Regexp
}

// Fits reports whether a text has the form.
func (f *Form) Fits(text string) bool {
	f.once.Do(func() { f.compiled = regexp.MustCompile(f.expression) }) // the tables were made from ones that compile
	return f.compiled.MatchString(text)
}

// Field is one field of a group.
type Field struct {
	Name       string
	Doc        string // its doc comment, on one line
	Need       need
	Value      *Definition
	Misleading string // why this name is refused, and what to write instead
}

// meaning is what one of the texts that a field allows stands for.
type meaning struct{ value, is string }

// need says who gives a field.
type need uint8

const (
	MayGive    need = iota // may be absent
	MustGive               // the specification must give it
	HasDefault             // the definitions give a default
)

// kindSet is a set of kinds of value.
type kindSet uint8

// anyKind is the set of all kinds.
const anyKind kindSet = 1<<8 - 1

// KindsOf is the set of some kinds.
func KindsOf(kinds ...source.Kind) kindSet {
	var s kindSet
	for _, k := range kinds {
		s |= 1 << k
	}
	return s
}

// Has reports whether a kind is in the set.
func (s kindSet) Has(k source.Kind) bool { return s&(1<<k) != 0 }

// bound is one end of a range.
type bound struct {
	value float64
	open  bool // the value itself is outside
	set   bool
}
