package check

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
	"example.org/headroom/schema/internal/spell"
)

// Checker compares the values of a specification with the definitions.
type Checker struct {
	*source.Collector
	root  *source.Value
	kinds []string // the maps of parts
}

// at is where a finding on a value points: its own place, a template in one of
// the vehicle's own files, or else the nearest place around it.
func (k *Checker) at(d *source.Value, near source.Span) source.Span {
	if p := d.Place(); p.Valid() {
		return p
	}
	if d.At.Valid() && d.At.Text.Own {
		return d.At
	}
	return near
}

// problem reports a mistake in a value and marks it as not to be used.
func (k *Checker) problem(d *source.Value, near source.Span, p source.Problem) {
	d.Broken = true
	at := k.at(d, near)
	if d.Shared.Valid() && d.Shared != at {
		p.Related = append(p.Related, source.Place{Position: d.Shared.Position(), Note: "the value comes from here"})
	}
	if d.Unused = isRecord(p.Path); d.Unused {
		k.ReportAside(p, at, d.Origin(), "")
		return
	}
	k.Report(p, at, d.Origin(), "")
}

// isRecord reports whether a field only says something of its part to people, or to a
// check that needs it and says so: whatever is wrong with it, the circuit is known.
func isRecord(path string) bool {
	switch path[strings.LastIndexByte(path, '.')+1:] {
	case "source", "notes", "thread", "torque_Nm", "colour", "spares", "reachable":
		return true
	}
	return false
}

// value checks one value; name is that of its field, near the closest place
// around it in the vehicle's own files.
func (k *Checker) value(d *source.Value, def *define.Definition, path, name string, near source.Span) {
	if d.Broken {
		return
	}
	if d.Kind == source.OpenKind {
		if !d.Unsure {
			k.problem(d, near, source.Problem{Rule: source.RuleNotConcrete, Path: path,
				Message: fmt.Sprintf("%s has no definite value; it must be %s", path, def.Describe(name)),
				Fix:     "give the value: " + name + ": ..."})
		}
		d.Broken = true
		return
	}
	if !def.Kinds.Has(d.Kind) {
		k.wrongKind(d, def, path, name, near)
		return
	}
	switch d.Kind {
	case source.NumberKind:
		k.number(d, def, path, name, near)
	case source.TextKind:
		k.text(d, def, path, name, near)
	case source.ListKind:
		if def.Filled {
			k.filled(d, path, near)
		}
		for i, item := range d.Items {
			k.value(item, def.Element, source.Join(path, strconv.Itoa(i)), name, k.at(d, near))
		}
	case source.ObjectKind:
		k.object(d, def, path, k.at(d, near))
	}
}

// filled checks that a list or a map has an entry: a part without contacts has no
// terminals, and nothing that ends on it is in the circuit.
func (k *Checker) filled(d *source.Value, path string, near source.Span) {
	if d == nil || d.Broken || d.Unsure || len(d.Items)+len(d.Members) > 0 {
		return
	}
	k.problem(d, near, source.Problem{Rule: source.RuleMalformedValue, Path: path,
		Message: path + " is empty; it must have at least one entry", Fix: "give at least one; of a part that is not fitted, remove the part and its conductors"})
}

// object checks the fields of a group: the unknown ones, the given ones, and
// what is missing.
func (k *Checker) object(d *source.Value, def *define.Definition, path string, near source.Span) {
	meant := map[string]bool{} // fields that a misspelt or misleading name stands for
	for name, v := range d.Each() {
		at := source.Join(path, source.PathElement(name))
		if f := def.Field(name); f != nil && f.Misleading == "" {
			k.value(v, f.Value, at, name, near)
			continue
		}
		if def.Keys == nil {
			k.unknownField(v, def, path, name, near, meant)
			continue
		}
		good := k.key(v, def, at, name, near)
		k.value(v, def.Element, at, name, near)
		v.Broken = v.Broken || !good
	}
	for _, f := range def.Fields {
		if meant[f.Name] && f.Need == define.MustGive && d.Get(f.Name) == nil {
			k.BreakEntity(source.Join(path, f.Name)) // it is there under another name
		}
	}
	k.missing(d, def, path, near, meant)
}

// missing reports the fields that must be given and are not.
func (k *Checker) missing(d *source.Value, def *define.Definition, path string, near source.Span, meant map[string]bool) {
	if d.Unsure {
		return
	}
	for _, f := range def.Fields {
		if f.Need == define.MustGive && d.Get(f.Name) == nil && !meant[f.Name] {
			k.absent(d, path, f, near)
		}
	}
	for _, r := range d.Required {
		f := def.Field(r.Name)
		if d.Get(r.Name) != nil || meant[r.Name] || f == nil || f.Need == define.MustGive {
			continue
		}
		k.absent(d, path, f, near, source.Place{Position: r.At.Position(), Note: "the shared part requires it here"})
	}
}

func (k *Checker) absent(d *source.Value, path string, f *define.Field, near source.Span, related ...source.Place) {
	where, name := path, f.Name
	if where == "" {
		where = "the specification"
	}
	k.BreakEntity(source.Join(path, name))
	k.Report(source.Problem{Rule: source.RuleMissingField, Path: source.Join(path, name),
		Message: fmt.Sprintf("%s lacks %s%s", where, name, gloss(f.Doc)),
		Fix:     fmt.Sprintf("add %s to %s%s", name, where, f.Value.OneOf()), Related: related}, k.at(d, near), source.Span{}, "")
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

// unknownField reports a name that the group doesn't have. What nothing reads spoils
// nothing: the rest of the group is used, unless the name stands for a field that must be
// given.
func (k *Checker) unknownField(v *source.Value, def *define.Definition, path, name string, near source.Span, meant map[string]bool) {
	v.Broken = true
	where := path
	if where == "" {
		where = "the specification"
	}
	p := source.Problem{Rule: source.RuleUnknownField, Path: source.Join(path, source.PathElement(name))}
	if f := def.Field(name); f != nil {
		p.Message = fmt.Sprintf("%s cannot have a field %s: %s", where, source.Quote(name), f.Misleading)
		for _, other := range def.Fields {
			if strings.Contains(f.Misleading, other.Name) {
				meant[other.Name] = true
			}
		}
	} else {
		if v.Kind == source.NullKind && barely(name) {
			p.Rule = source.RuleWrongType
			p.Message = fmt.Sprintf("%s: the comma before %s separates two fields; it is not a decimal comma", where, name)
			p.Fix = "write the number with a decimal point"
			k.Report(p, v.Key, v.Key, name)
			return
		}
		s := suggestField(name, v, def)
		p.Message = fmt.Sprintf("%s has no field %s%s", where, source.Quote(name), s.question())
		p.Fix = s.advice(name, def)
		for _, n := range s.names {
			meant[n] = true
		}
	}
	at := v.Key
	if !at.Valid() {
		at = k.at(v, near)
	}
	if v.Shared.Valid() && v.Shared != at {
		p.Related = append(p.Related, source.Place{Position: v.Shared.Position(), Note: "the field comes from here"})
	}
	from := v.Key
	if !from.Valid() {
		from = v.Origin()
	}
	v.Unused = true
	k.ReportAside(p, at, from, name)
}

// key checks the name of an entry in a map, which is an id, and reports
// whether it is good.
func (k *Checker) key(v *source.Value, def *define.Definition, path, name string, near source.Span) bool {
	p := source.Problem{Rule: source.RuleMalformedValue, Path: path}
	switch {
	case !def.Keys.Form.Fits(name):
		p.Message = fmt.Sprintf("%s cannot be %s", source.Quote(name), define.FormOf(def.Keys).What)
		p.Fix = define.FormOf(def.Keys).Fix(name)
	case name == define.Chassis && def.Keys.Name == "#Id":
		p.Message, p.Fix = "the id \"chassis\" is reserved for the vehicle's metalwork", "choose another id"
	default:
		return true
	}
	k.Report(p, k.keyOf(v, near), v.Origin(), name)
	return false
}

func (k *Checker) keyOf(v *source.Value, near source.Span) source.Span {
	if v.Key.Valid() {
		return v.Key
	}
	return k.at(v, near)
}

// number checks a number against its range.
func (k *Checker) number(d *source.Value, def *define.Definition, path, name string, near source.Span) {
	unit := define.UnitOf(name)
	d.Number += 0 // there is one zero: -0 + 0 is 0
	switch {
	case d.Number != 0 && math.Abs(d.Number) < define.Least:
		k.problem(d, near, source.Problem{Rule: source.RuleOutOfRange, Path: path,
			Message: fmt.Sprintf("%s is %s; a number that is not 0 must be at least %s, smaller ones are not computed with",
				path, define.WithUnit(d.Number, unit), define.WithUnit(define.Least, unit)),
			Fix: rangeFix(unit)})
	case def.Counts != nil && !slices.Contains(def.Counts, d.Number):
		k.problem(d, near, source.Problem{Rule: source.RuleUnknownValue, Path: path,
			Message: fmt.Sprintf("%s is %s; it must be %s", path, d.Show(), def.Describe(name)),
			Fix:     "use one of the values listed"})
	case def.Counts != nil:
	case def.Integer && d.Number != math.Trunc(d.Number):
		k.problem(d, near, source.Problem{Rule: source.RuleOutOfRange, Path: path,
			Message: fmt.Sprintf("%s is %s; it must be a whole number", path, d.Show()),
			Fix:     "give a whole number"})
	case def.Low.Below(d.Number), def.High.Above(d.Number):
		k.problem(d, near, source.Problem{Rule: source.RuleOutOfRange, Path: path,
			Message: fmt.Sprintf("%s is %s; it must be %s", path, define.WithUnit(d.Number, unit), def.Limits(unit)),
			Fix:     rangeFix(unit)})
	}
}

func rangeFix(unit string) string {
	if unit == "" {
		return "check the value"
	}
	return "check the value, its decimal point and its unit: the field is in " + unit
}

// text checks a text against the values or the form it may have.
func (k *Checker) text(d *source.Value, def *define.Definition, path, name string, near source.Span) {
	switch {
	case def.Allowed != nil && !slices.Contains(def.Allowed, d.Text):
		p := source.Problem{Rule: source.RuleUnknownValue, Path: path, Fix: def.ValuesFix(),
			Message: fmt.Sprintf("%s is %s; it must be %s", path, d.Show(), def.Describe(name))}
		if s := spell.ClosestValue(d.Text, def.Allowed); s != "" {
			p.Message += fmt.Sprintf("; did you mean %s?", source.Quote(s))
			p.Fix = fmt.Sprintf("write %s: %s", name, source.Quote(s))
		}
		k.problem(d, near, p)
	case def.Filled && strings.TrimSpace(d.Text) == "":
		k.problem(d, near, source.Problem{Rule: source.RuleMalformedValue, Path: path, Message: path + " is an empty text", Fix: "write a text, or remove the field"})
	case def.Form == nil || def.IsReference() || def.Form.Fits(d.Text):
	default:
		rule, message := source.RuleMalformedValue, fmt.Sprintf("%s is %s, which is not %s", path, d.Show(), define.FormOf(def).What)
		if def.Name == "#WireSize" && barely(d.Text) {
			rule, message = source.RuleUnitlessNumber, fmt.Sprintf("%s is %s, without a unit", path, d.Show())
		}
		if def.Name == "#WireSize" && define.WellWritten.MatchString(d.Text) {
			message = fmt.Sprintf("%s is %s, which is not a known size", path, d.Show())
		}
		k.problem(d, near, source.Problem{Rule: rule, Path: path, Message: message, Fix: define.FormOf(def).Fix(d.Text)})
	}
}

// barely reports whether a text is a number alone, such as "70" or "2/0".
func barely(s string) bool {
	return s != "" && strings.Trim(s, "0123456789./ ") == ""
}
