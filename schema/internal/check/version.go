package check

import (
	"fmt"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/read"
	"example.org/headroom/schema/internal/source"
)

// New makes the checks of a specification. Kinds lists the maps of parts.
func New(problems *source.Collector, root *source.Value, kinds []string) *Checker {
	return &Checker{problems, root, kinds}
}

// Values checks the values of a specification, of at most so many entities, and
// reports whether it is one that the definitions can judge.
func (k *Checker) Values(g *read.Given, spec *define.Definition, most int) bool {
	if k.root.Kind != source.ObjectKind {
		k.Report(source.Problem{Rule: source.RuleSyntax, Message: "the file is " + k.root.Show() + "; a specification is a group of fields",
			Fix: "begin with headroom: 1 and vehicle:"}, k.root.Value, source.Span{}, "")
		return false
	}
	k.Settle(k.root, "")
	if !k.rightVersion(g) || !k.rightSize(most) {
		return false
	}
	k.root.Value = k.root.Get("headroom").Key // where findings on the whole stand
	k.object(k.root, spec, "", k.root.Value)
	(&consistency{k}).run()
	return true
}

// noVersion reports a file that does not say that it is a specification. One
// file of a package alone is no specification either.
func (k *Checker) noVersion(g *read.Given) {
	root := g.Root
	p := source.Problem{Rule: source.RuleMissingField, Path: "headroom", Message: "the file has no field headroom, so it is not a specification",
		Fix: fmt.Sprintf("add headroom: %d, the version of the format", define.Version)}
	if len(g.Texts) > 0 {
		t := g.Texts[0]
		p.At = source.Position{File: t.Name, Line: 1, Column: 1}
		if g.Alone && input.IsOfPackage(t.Bytes) {
			p.Message = "the file has no field headroom; it is one file of a package"
			p.Fix = "check the folder of the package instead of one file"
		}
	}
	if root.Value.Valid() {
		at := root.Value
		for name, field := range root.Each() {
			if strings.EqualFold(name, "headroom") {
				at = field.Key
				p.Message += fmt.Sprintf("; is it %s?", name)
				p.Fix = "rename it to headroom"
			}
		}
		k.Report(p, at, source.Span{}, "")
		return
	}
	k.Add(p)
}

// rightVersion checks the format version: a file of another version cannot be
// judged by these definitions.
func (k *Checker) rightVersion(g *read.Given) bool {
	root := g.Root
	v := root.Get("headroom")
	switch {
	case v == nil:
		if k.None() || !root.Unsure {
			k.noVersion(g)
		}
		return false
	case v.Kind == source.NumberKind && !v.Broken && v.Number != define.Version:
		k.Report(source.Problem{Rule: source.RuleUnsupportedVersion, Path: "headroom",
			Message: fmt.Sprintf("the specification has format version %s, but this program reads version %d", v.Show(), define.Version),
			Fix:     fmt.Sprintf("write headroom: %d, or use a program that reads version %s", define.Version, v.Show())}, v.Place(), source.Span{}, "")
		return false
	}
	return true
}

// rightSize checks the number of parts, conductors and modes.
func (k *Checker) rightSize(most int) bool {
	root := k.root
	count := 0
	for _, kind := range append(k.namedKinds(), "modes") {
		if d := root.Get(kind); d != nil {
			count += len(d.Members)
		}
	}
	if count <= most {
		return true
	}
	k.Report(source.Problem{Rule: source.RuleTooLarge, Message: fmt.Sprintf("the specification has %d parts, conductors and modes; at most %d are allowed", count, most),
		Fix: "split the specification into several vehicles"}, root.Get("headroom").Place(), source.Span{}, "")
	return false
}
