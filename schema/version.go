package schema

import (
	"fmt"
	"strings"
)

// newChecker makes the checks of a specification. Kinds lists the maps of parts.
func newChecker(problems *collector, root *datum, kinds []string) *checker {
	return &checker{problems, root, kinds}
}

// values checks the values of a specification, of at most so many entities, and
// reports whether it is one that the definitions can judge.
func (k *checker) values(g *given, spec *definition, most int) bool {
	if k.root.kind != objectKind {
		k.report(Problem{Rule: RuleSyntax, Message: "the file holds " + k.root.show() + " where a specification is a group of fields",
			Fix: "begin with headroom: 1 and vehicle:"}, k.root.value, span{}, "")
		return false
	}
	k.settle(k.root, "")
	if !k.rightVersion(g) || !k.rightSize(most) {
		return false
	}
	k.root.value = k.root.get("headroom").key // where findings on the whole stand
	k.object(k.root, spec, "", k.root.value)
	(&consistency{k}).run()
	return true
}

// noVersion reports a file that does not say that it is a specification. One
// file of a package alone is no specification either.
func (k *checker) noVersion(g *given) {
	root := g.root
	p := Problem{Rule: RuleMissingField, Path: "headroom", Message: "the file has no field headroom, so it is not a specification",
		Fix: fmt.Sprintf("add headroom: %d, the version of the format", Version)}
	if len(g.texts) > 0 {
		t := g.texts[0]
		p.At = Position{File: t.name, Line: 1, Column: 1}
		if g.alone && isOfPackage(t.bytes) {
			p.Message = "the file has no field headroom; it is one of the files of a package"
			p.Fix = "check the package's folder, and not one file of it"
		}
	}
	if root.value.valid() {
		at := root.value
		for name, field := range root.each() {
			if strings.EqualFold(name, "headroom") {
				at = field.key
				p.Message += fmt.Sprintf("; did you mean it by %s?", name)
				p.Fix = "rename it to headroom"
			}
		}
		k.report(p, at, span{}, "")
		return
	}
	k.add(p)
}

// rightVersion checks the format version: a file of another version cannot be
// judged by these definitions.
func (k *checker) rightVersion(g *given) bool {
	root := g.root
	v := root.get("headroom")
	switch {
	case v == nil:
		if k.none() || !root.unsure {
			k.noVersion(g)
		}
		return false
	case v.kind == numberKind && !v.broken && v.number != Version:
		k.report(Problem{Rule: RuleUnsupportedVersion, Path: "headroom",
			Message: fmt.Sprintf("the specification is of format version %s, but this program reads version %d", v.show(), Version),
			Fix:     fmt.Sprintf("write headroom: %d, or use a program that reads version %s", Version, v.show())}, v.place(), span{}, "")
		return false
	}
	return true
}

// rightSize checks the number of parts, conductors and modes.
func (k *checker) rightSize(most int) bool {
	root := k.root
	count := 0
	for _, kind := range append(k.namedKinds(), "modes") {
		if d := root.get(kind); d != nil {
			count += len(d.members)
		}
	}
	if count <= most {
		return true
	}
	k.report(Problem{Rule: RuleTooLarge, Message: fmt.Sprintf("the specification has %d parts, conductors and modes; at most %d are allowed", count, most),
		Fix: "split the specification into several vehicles"}, root.get("headroom").place(), span{}, "")
	return false
}
