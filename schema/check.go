package schema

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// checker compares the values of a specification with the definitions.
type checker struct {
	*collector
	root  *datum
	kinds []string // the maps of parts
}

// at is where a finding on a value points: its own place, a template in one of
// the vehicle's own files, or else the nearest place around it.
func (k *checker) at(d *datum, near span) span {
	if p := d.place(); p.valid() {
		return p
	}
	if d.at.valid() && d.at.text.own {
		return d.at
	}
	return near
}

// problem reports a mistake in a value and marks it as not to be used.
func (k *checker) problem(d *datum, near span, p Problem) {
	d.broken = true
	at := k.at(d, near)
	if d.shared.valid() && d.shared != at {
		p.Related = append(p.Related, Place{d.shared.position(), "the value comes from here"})
	}
	k.report(p, at, d.origin(), "")
}

// value checks one value; name is that of its field, near the closest place
// around it in the vehicle's own files.
func (k *checker) value(d *datum, def *definition, path, name string, near span) {
	if d.broken {
		return
	}
	if d.kind == openKind {
		if !d.unsure {
			k.problem(d, near, Problem{Rule: RuleNotConcrete, Path: path,
				Message: fmt.Sprintf("%s has no definite value; it must be %s", path, def.describe(name)),
				Fix:     "give the value: " + name + ": ..."})
		}
		d.broken = true
		return
	}
	if !def.kinds.has(d.kind) {
		k.wrongKind(d, def, path, name, near)
		return
	}
	switch d.kind {
	case numberKind:
		k.number(d, def, path, name, near)
	case textKind:
		k.text(d, def, path, name, near)
	case listKind:
		for i, item := range d.items {
			k.value(item, def.element, join(path, strconv.Itoa(i)), name, k.at(d, near))
		}
	case objectKind:
		k.object(d, def, path, k.at(d, near))
	}
}

// object checks the fields of a group: the unknown ones, the given ones, and
// what is missing.
func (k *checker) object(d *datum, def *definition, path string, near span) {
	meant := map[string]bool{} // fields that a misspelt or misleading name stands for
	for name, v := range d.each() {
		at := join(path, pathElement(name))
		if f := def.byName[name]; f != nil && f.misleading == "" {
			k.value(v, f.value, at, name, near)
			continue
		}
		if def.keys == nil {
			k.unknownField(v, def, path, name, near, meant)
			continue
		}
		good := k.key(v, def, at, name, near)
		k.value(v, def.element, at, name, near)
		v.broken = v.broken || !good
	}
	k.missing(d, def, path, near, meant)
}

// missing reports the fields that must be given and are not.
func (k *checker) missing(d *datum, def *definition, path string, near span, meant map[string]bool) {
	if d.unsure {
		return
	}
	for _, f := range def.fields {
		if f.need == mustGive && d.get(f.name) == nil && !meant[f.name] {
			k.absent(d, path, f, near)
		}
	}
	for _, r := range d.required {
		f := def.byName[r.name]
		if d.get(r.name) != nil || meant[r.name] || f == nil || f.need == mustGive {
			continue
		}
		k.absent(d, path, f, near, Place{r.at.position(), "the shared part asks for it here"})
	}
}

func (k *checker) absent(d *datum, path string, f *field, near span, related ...Place) {
	where, name := path, f.name
	if where == "" {
		where = "the specification"
	}
	k.breakEntity(join(path, name))
	k.report(Problem{Rule: RuleMissingField, Path: join(path, name),
		Message: fmt.Sprintf("%s lacks %s%s", where, name, gloss(f.doc)),
		Fix:     fmt.Sprintf("add %s to %s%s", name, where, f.value.oneOf()), Related: related}, k.at(d, near), span{}, "")
}

// gloss is the first sentence of a doc comment, in brackets.
func gloss(doc string) string {
	first, _, _ := strings.Cut(doc, ". ")
	first, _, _ = strings.Cut(first, ": ")
	first, _, _ = strings.Cut(first, ", which ")
	if first = strings.TrimSuffix(first, "."); first == "" {
		return ""
	}
	if len(first) > 1 && strings.ToLower(first[1:2]) == first[1:2] {
		first = strings.ToLower(first[:1]) + first[1:]
	}
	return " (" + first + ")"
}

// unknownField reports a name that the group doesn't have.
func (k *checker) unknownField(v *datum, def *definition, path, name string, near span, meant map[string]bool) {
	v.broken = true
	where := path
	if where == "" {
		where = "the specification"
	}
	p := Problem{Rule: RuleUnknownField, Path: join(path, pathElement(name))}
	if f := def.byName[name]; f != nil {
		p.Message = fmt.Sprintf("%s cannot have a field %s: %s", where, quote(name), f.misleading)
		for _, other := range def.fields {
			if strings.Contains(f.misleading, other.name) {
				meant[other.name] = true
			}
		}
	} else {
		if v.kind == nullKind && barely(name) {
			p.Rule = RuleWrongType
			p.Message = fmt.Sprintf("%s: the comma before %s divides two fields; it is no decimal comma", where, name)
			p.Fix = "write the number with a decimal point"
			k.report(p, v.key, v.key, name)
			return
		}
		s := suggestField(name, v, def)
		p.Message = fmt.Sprintf("%s has no field %s%s", where, quote(name), s.question())
		p.Fix = s.advice(name, def)
		for _, n := range s.names {
			meant[n] = true
		}
	}
	at := v.key
	if !at.valid() {
		at = k.at(v, near)
	}
	if v.shared.valid() && v.shared != at {
		p.Related = append(p.Related, Place{v.shared.position(), "the field comes from here"})
	}
	from := v.key
	if !from.valid() {
		from = v.origin()
	}
	k.report(p, at, from, name)
}

// key checks the name of an entry in a map, which is an id, and reports
// whether it is good.
func (k *checker) key(v *datum, def *definition, path, name string, near span) bool {
	p := Problem{Rule: RuleMalformedValue, Path: path}
	switch {
	case !def.keys.form.MatchString(name):
		p.Message = fmt.Sprintf("%s cannot be %s", quote(name), formOf(def.keys).what)
		p.Fix = formOf(def.keys).fix(name)
	case name == Chassis && def.keys.name == "#Id":
		p.Message, p.Fix = "the id \"chassis\" is kept for the vehicle's metalwork", "choose another id"
	default:
		return true
	}
	k.report(p, k.keyOf(v, near), v.origin(), name)
	return false
}

func (k *checker) keyOf(v *datum, near span) span {
	if v.key.valid() {
		return v.key
	}
	return k.at(v, near)
}

// number checks a number against its range.
func (k *checker) number(d *datum, def *definition, path, name string, near span) {
	unit := unitOf(name)
	switch {
	case def.counts != nil && !slices.Contains(def.counts, d.number):
		k.problem(d, near, Problem{Rule: RuleUnknownValue, Path: path,
			Message: fmt.Sprintf("%s is %s; it must be %s", path, d.show(), def.describe(name)),
			Fix:     "use one of the values listed"})
	case def.counts != nil:
	case def.integer && d.number != math.Trunc(d.number):
		k.problem(d, near, Problem{Rule: RuleOutOfRange, Path: path,
			Message: fmt.Sprintf("%s is %s; it must be a whole number", path, d.show()),
			Fix:     "give a whole number"})
	case def.low.below(d.number), def.high.above(d.number):
		k.problem(d, near, Problem{Rule: RuleOutOfRange, Path: path,
			Message: fmt.Sprintf("%s is %s; it must be %s", path, withUnit(d.number, unit), def.limits(unit)),
			Fix:     rangeFix(unit)})
	}
}

func rangeFix(unit string) string {
	if unit == "" {
		return "check the figure"
	}
	return "check the figure, its decimal point and its unit: the field is in " + unit
}

// text checks a text against the values or the form it may have.
func (k *checker) text(d *datum, def *definition, path, name string, near span) {
	switch {
	case def.allowed != nil && !slices.Contains(def.allowed, d.text):
		p := Problem{Rule: RuleUnknownValue, Path: path, Fix: def.valuesFix(),
			Message: fmt.Sprintf("%s is %s; it must be %s", path, d.show(), def.describe(name))}
		if s := closestValue(d.text, def.allowed); s != "" {
			p.Message += fmt.Sprintf("; did you mean %s?", quote(s))
			p.Fix = fmt.Sprintf("write %s: %s", name, quote(s))
		}
		k.problem(d, near, p)
	case def.filled && strings.TrimSpace(d.text) == "":
		k.problem(d, near, Problem{Rule: RuleMalformedValue, Path: path, Message: path + " is an empty text", Fix: "say something, or leave the field out"})
	case def.form == nil || def.isReference() || def.form.MatchString(d.text):
	default:
		rule, message := RuleMalformedValue, fmt.Sprintf("%s is %s, which is not %s", path, d.show(), formOf(def).what)
		if def.name == "#WireSize" && barely(d.text) {
			rule, message = RuleUnitlessNumber, fmt.Sprintf("%s is %s, without a unit", path, d.show())
		}
		if def.name == "#WireSize" && wellWritten.MatchString(d.text) {
			message = fmt.Sprintf("%s is %s, but there is no such size", path, d.show())
		}
		k.problem(d, near, Problem{Rule: rule, Path: path, Message: message, Fix: formOf(def).fix(d.text)})
	}
}

// barely reports whether a text is a number alone, such as "70" or "2/0".
func barely(s string) bool {
	return s != "" && strings.Trim(s, "0123456789./ ") == ""
}
