package check

import (
	"fmt"
	"regexp"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// wrongKind reports a value of the wrong kind, with what to write instead.
func (k *Checker) wrongKind(d *source.Value, def *define.Definition, path, name string, near source.Span) {
	p := source.Problem{Rule: source.RuleWrongType, Path: path, Fix: "write " + name + ": ... as " + def.Describe(name)}
	found := d.Show()
	switch {
	case d.Kind == source.NullKind:
		p.Message = fmt.Sprintf("%s has no value; it must be %s", path, def.Describe(name))
		p.Fix = "give a value, or remove the line"
		k.problem(d, near, p)
		return
	case def.Name == "#WireSize" && d.Kind == source.NumberKind:
		p.Rule, p.Fix = source.RuleUnitlessNumber, define.FormOf(def).Fix(found)
		p.Message = fmt.Sprintf("%s is the bare number %s, without a unit; it must be %s", path, found, def.Describe(name))
		k.problem(d, near, p)
		return
	case d.Kind == source.TextKind && def.Kinds.Has(source.NumberKind):
		p.Fix = numberFix(d.Text, name)
	case d.Kind == source.TextKind && def.Kinds.Has(source.BoolKind):
		p.Fix = truthFix(d.Text, name)
	case def.Kinds == define.KindsOf(source.ObjectKind):
		p.Fix = groupFix(d, def, path, name)
	case d.Kind != source.ObjectKind && def.Kinds.Has(source.ListKind):
		p.Fix = listFix(def, name, found)
	case d.Kind == source.NumberKind && def.Kinds.Has(source.TextKind) && def.Allowed == nil:
		p.Fix = fmt.Sprintf("put it in quotation marks: %s: %s", name, source.Quote(found))
	case def.Allowed != nil:
		p.Fix = def.ValuesFix()
	}
	p.Message = fmt.Sprintf("%s is %s; it must be %s", path, found, def.Describe(name))
	if d.Kind == source.TextKind && def.Allowed == nil {
		p.Message = fmt.Sprintf("%s is the text %s; it must be %s", path, found, def.Describe(name))
	}
	k.problem(d, near, p)
}

var leadingNumber = regexp.MustCompile(`^\s*([-+]?[0-9]+(?:[.,][0-9]+)?(?:[eE][-+]?[0-9]+)?)\s*(\S*)\s*$`)

// numberFix says how a text should be written as a number.
func numberFix(text, name string) string {
	unit := define.UnitOf(name)
	m := leadingNumber.FindStringSubmatch(text)
	switch {
	case m == nil:
		return "give a number, without quotation marks"
	case m[2] == "" || m[2] == unit:
		return fmt.Sprintf("write %s: %s, without quotation marks and unit", name, strings.Replace(m[1], ",", ".", 1))
	case unit != "":
		return fmt.Sprintf("give the number alone, converted to %s", unit)
	}
	return "give the number alone, without quotation marks"
}
