package define

import (
	"embed"
	"fmt"
	"math"
	"regexp"
	"strings"
	"sync"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/parser"

	"example.org/headroom/schema/internal/source"
)

//go:embed *.cue
var definitionFiles embed.FS

// definitionOrder lists the definition files as a reader wants them.
func definitionOrder() []string {
	return []string{
		"spec.cue", "vehicle.cue", "batteries.cue", "protection.cue", "switching.cue", "measuring.cue",
		"supplies.cue", "conductors.cue", "panels.cue", "modes.cue", "waivers.cue", "policy.cue", "quantities.cue",
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

// Definition says what a value must be. It is read once from the CUE
// definitions, so that the messages can be ours while the rules stay in one
// place.
type Definition struct {
	Name     string         // "#Fuse"; empty for one without a name
	Kinds    kindSet        // what it may be
	Integer  bool           // a number must be whole
	Low      bound          // of a number
	High     bound          // of a number
	Allowed  []string       // the only texts, if any
	meanings []meaning      // what some of those texts stand for
	Counts   []float64      // the only numbers, if any
	Form     *regexp.Regexp // of a text
	Filled   bool           // a text must not be empty
	Fields   []*Field       // of a group
	ByName   map[string]*Field
	Keys     *Definition // of a map: what its keys look like
	Element  *Definition // of a map or a list
	Fallback any         // bool, string or float64; nil if there is none
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

func KindsOf(kinds ...source.Kind) kindSet {
	var s kindSet
	for _, k := range kinds {
		s |= 1 << k
	}
	return s
}

func (s kindSet) Has(k source.Kind) bool { return s&(1<<k) != 0 }

// bound is one end of a range.
type bound struct {
	value float64
	open  bool // the value itself is outside
	set   bool
}

// Spec is #Spec, read once.
var Spec = sync.OnceValues(readSpec)

func readSpec() (*Definition, error) {
	file, err := parser.ParseFile("definitions.cue", Definitions(), parser.ParseComments)
	if err != nil {
		return nil, err
	}
	r := &definitionReader{named: map[string]ast.Expr{}, done: map[string]*Definition{}}
	for _, d := range file.Decls {
		if f, ok := d.(*ast.Field); ok {
			name, _, err := ast.LabelName(f.Label)
			if err != nil {
				return nil, err
			}
			r.named[name] = f.Value
		}
	}
	spec := r.reference("#Spec")
	return spec, r.err
}

// unlimited is a range without ends.
func unlimited(d *Definition) *Definition {
	d.Low.value, d.High.value = math.Inf(-1), math.Inf(1)
	return d
}
