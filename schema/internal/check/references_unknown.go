package check

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
	"example.org/headroom/schema/internal/spell"
)

// unknown reports a reference to an id that doesn't exist.
func (r *referee) unknown(v *source.Value, path, id, what string, candidates []string) {
	if r.misdeclared(v, path, id) {
		return
	}
	p := source.Problem{Rule: source.RuleUnknownPart, Path: path, Message: fmt.Sprintf("%s is %s, but there is no %s with that id", path, source.Quote(id), what)}
	switch s := r.closestID(id, candidates); {
	case s != "":
		p.Message += fmt.Sprintf("; did you mean %s?", source.Quote(s))
		p.Fix = "write " + source.Quote(s)
	case len(candidates) == 0:
		p.Fix = "declare it first"
	case len(candidates) == 1:
		p.Fix = "write " + source.Quote(candidates[0])
	default:
		p.Fix = "use one of " + listed(candidates)
	}
	r.problem(v, r.root.Value, p)
}

// misdeclared reports whether an id that names nothing is the one that a mistake in
// a declared id asks to write, or is declared under a misspelt kind: then the
// reference is right, and what it refers to cannot be used.
func (r *referee) misdeclared(v *source.Value, path, id string) bool {
	for declared := range r.ids {
		if declared != id && define.IDOf(declared) == id {
			v.Broken = true
			r.BreakEntity(path)
			return true
		}
	}
	// What is declared under a misspelt kind is not missing either.
	for _, d := range r.root.Each() {
		if d.Broken && d.Kind == source.ObjectKind && d.Get(id) != nil {
			v.Broken = true
			r.BreakEntity(path)
			return true
		}
	}
	return false
}

// listed joins names, the first dozen of them.
func listed(names []string) string {
	if len(names) > 12 {
		return strings.Join(names[:12], ", ") + fmt.Sprintf(" (and %d more)", len(names)-12)
	}
	return strings.Join(names, ", ")
}

// noSuchPart reports the end of a conductor on something that is no part.
func (r *referee) noSuchPart(v *source.Value, path, id string, e declared) {
	if e.kind != "" {
		r.problem(v, r.root.Value, source.Problem{Rule: source.RuleUnknownTerminal, Path: path,
			Message: fmt.Sprintf("%s is %s, but %s is %s, which has no terminals", path, source.Quote(v.Text), source.Quote(id), singular(e.kind)),
			Fix:     "end the conductor on a terminal of a part; where several conductors meet, declare a stud",
			Related: []source.Place{{Position: r.keyOf(e.d, r.root.Value).Position(), Note: source.Quote(id) + " is declared here"}}})
		return
	}
	if r.misdeclared(v, path, id) {
		return
	}
	candidates := append(r.idsOf(r.kinds), define.Chassis)
	p := source.Problem{Rule: source.RuleUnknownPart, Path: path,
		Message: fmt.Sprintf("%s is %s, but there is no part %s", path, source.Quote(v.Text), source.Quote(id)),
		Fix:     "declare the part, or correct its id"}
	switch s := r.closestID(id, candidates); {
	case metalwork(id):
		p.Fix = "write " + define.Chassis + " for the vehicle's metalwork, or declare the part"
	case s != "":
		p.Message += fmt.Sprintf("; did you mean %s?", source.Quote(s))
		p.Fix = "write " + source.Quote(s) + " for " + source.Quote(id)
	}
	r.problem(v, r.root.Value, p)
}

// closestID returns the candidate that a misspelt id was meant to be. Where the
// candidates are of several kinds, what a short id or its number says of the kind
// and of the one of it must agree: f1 is no slip for r1, nor k2 for k1.
func (r *referee) closestID(id string, candidates []string) string {
	kinds := map[string]bool{}
	for _, c := range candidates {
		kinds[r.ids[c].kind] = true
	}
	if len(kinds) > 1 {
		letters, number := letterAndNumber(id)
		candidates = slices.DeleteFunc(slices.Clone(candidates), func(c string) bool {
			l, n := letterAndNumber(c)
			return n != number || l != letters && len(letters) < 3
		})
	}
	return spell.Closest(id, candidates)
}

// letterAndNumber divides an id into its letters and its digits.
func letterAndNumber(id string) (letters, number string) {
	for _, r := range strings.ToLower(id) {
		switch {
		case unicode.IsDigit(r):
			number += string(r)
		case unicode.IsLetter(r):
			letters += string(r)
		}
	}
	return letters, number
}

// terminalUnder says which field gives a part a terminal that its kind may have
// and it has not; "" if its kind never has it.
func terminalUnder(e declared, name string) string {
	switch {
	case e.kind == "controllers" && name == "coil_out":
		return "declare coil_out, the output that drives a coil, on " + e.id
	case (e.kind == "disconnects" || e.kind == "breakers") && (name == "a2" || name == "b2"):
		return "set poles: 2 on " + e.id
	case e.kind == "relays" && (name == "no" || name == "nc"):
		return "set the form of the contact of " + e.id + ": no, nc or changeover"
	case (e.kind == "relays" || e.kind == "contactors") && (name == "aux_a" || name == "aux_b"):
		return "declare the auxiliary contact of " + e.id + ": auxiliary: {form: no or nc}"
	}
	return ""
}

// terminalMeant returns the terminal that a wrong name stands for, "" if that is
// not clear. A name of one or two letters is near to any other, so there only the
// usual words and the marks of EN 50005 for a coil count; A1 is taken for the
// positive end, as on a coil with a polarity (common practice).
func terminalMeant(name string, has []string) string {
	meant := ""
	switch strings.ToLower(name) {
	case "+", "plus", "positive", "p":
		meant = "pos"
	case "-", "minus", "negative", "n":
		meant = "neg"
	case "a1":
		meant = "coil_pos"
	case "a2":
		meant = "coil_neg"
	}
	if slices.Contains(has, meant) {
		return meant
	}
	for _, t := range has {
		if strings.EqualFold(t, name) {
			return t
		}
	}
	if len(name) <= 2 {
		return ""
	}
	return spell.Closest(name, has)
}

// metalwork reports whether a word is a usual one for the vehicle's metalwork.
func metalwork(word string) bool {
	return slices.Contains([]string{"ground", "gnd", "earth", "frame", "body", "mass"}, strings.ToLower(word))
}
