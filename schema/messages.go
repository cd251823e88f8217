package schema

import (
	"fmt"
	"regexp"
	"strings"
)

// UnitOf is the unit that a field's name carries, such as "mOhm" of
// resistance_mOhm; "" if it carries none.
func UnitOf(field string) string { return unitOf(field) }

// wrongKind reports a value of the wrong kind, with what to write instead.
func (k *checker) wrongKind(d *datum, def *definition, path, name string, near span) {
	p := Problem{Rule: RuleWrongType, Path: path, Fix: "write " + name + ": ... as " + def.describe(name)}
	found := d.show()
	switch {
	case d.kind == nullKind:
		p.Message = fmt.Sprintf("%s has no value; it must be %s", path, def.describe(name))
		p.Fix = "give a value, or remove the line"
		k.problem(d, near, p)
		return
	case def.name == "#WireSize" && d.kind == numberKind:
		p.Rule, p.Fix = RuleUnitlessNumber, formOf(def).fix(found)
		p.Message = fmt.Sprintf("%s is the bare number %s, without a unit; it must be %s", path, found, def.describe(name))
		k.problem(d, near, p)
		return
	case d.kind == textKind && def.kinds.has(numberKind):
		p.Fix = numberFix(d.text, name)
	case d.kind == textKind && def.kinds.has(boolKind):
		p.Fix = truthFix(d.text, name)
	case def.kinds == kindsOf(objectKind):
		p.Fix = groupFix(d, def, path, name)
	case d.kind != objectKind && def.kinds.has(listKind):
		p.Fix = listFix(def, name, found)
	case d.kind == numberKind && def.kinds.has(textKind) && def.allowed == nil:
		p.Fix = fmt.Sprintf("put it in quotation marks: %s: %s", name, quote(found))
	case def.allowed != nil:
		p.Fix = def.valuesFix()
	}
	p.Message = fmt.Sprintf("%s is %s; it must be %s", path, found, def.describe(name))
	if d.kind == textKind && def.allowed == nil {
		p.Message = fmt.Sprintf("%s is the text %s; it must be %s", path, found, def.describe(name))
	}
	k.problem(d, near, p)
}

var leadingNumber = regexp.MustCompile(`^\s*([-+]?[0-9]+(?:[.,][0-9]+)?(?:[eE][-+]?[0-9]+)?)\s*(\S*)\s*$`)

// numberFix says how a text should be written as a number.
func numberFix(text, name string) string {
	unit := unitOf(name)
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
