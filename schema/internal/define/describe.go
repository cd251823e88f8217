package define

import (
	"strings"

	"example.org/headroom/schema/internal/source"
)

// IsReference reports whether a text names something in the specification; the
// form of such a text is judged together with what it refers to.
func (def *Definition) IsReference() bool {
	return def.Name == "#Id" || def.Name == "#Terminal" || def.Name == "#Closable"
}

// Below reports whether a number lies below a lower bound.
func (b bound) Below(v float64) bool {
	return b.set && (v < b.value || b.open && v == b.value)
}

// Above reports whether a number lies above an upper bound.
func (b bound) Above(v float64) bool {
	return b.set && (v > b.value || b.open && v == b.value)
}

// Describe says what a value of a field must be.
func (def *Definition) Describe(name string) string {
	var ways []string
	switch {
	case def.Allowed != nil:
		ways = append(ways, "one of "+strings.Join(def.Allowed, ", "))
	case def.Kinds.Has(source.TextKind) && def.Form != nil:
		ways = append(ways, FormOf(def).What)
	case def.Kinds.Has(source.TextKind):
		ways = append(ways, "a text")
	}
	if def.Kinds.Has(source.NumberKind) {
		ways = append(ways, def.describeNumber(name))
	}
	if def.Kinds.Has(source.BoolKind) {
		ways = append(ways, "true or false")
	}
	if def.Kinds.Has(source.ListKind) {
		ways = append(ways, "a list")
	}
	if def.Kinds.Has(source.ObjectKind) {
		ways = append(ways, "a group of fields")
	}
	return strings.Join(ways, " or ")
}

func (def *Definition) describeNumber(name string) string {
	var numbers []string
	for _, c := range def.Counts {
		numbers = append(numbers, source.FormatNumber(c))
	}
	if numbers != nil {
		return strings.Join(numbers, " or ")
	}
	what := "a number"
	if def.Integer {
		what = "a whole number"
	}
	if unit := UnitOf(name); unit != "" {
		what += " in " + unit
	}
	return what
}

// Limits says between which values a number must lie.
func (def *Definition) Limits(unit string) string {
	var parts []string
	if def.Low.set {
		words := "at least "
		if def.Low.open {
			words = "above "
		}
		parts = append(parts, words+formatLarge(def.Low.value))
	}
	if def.High.set {
		words := "at most "
		if def.High.open {
			words = "below "
		}
		parts = append(parts, words+formatLarge(def.High.value))
	}
	return strings.TrimSpace(strings.Join(parts, " and ") + " " + unit)
}

// OneOf lists the texts that a field allows, behind a fix that asks for one; "" if
// it allows any.
func (def *Definition) OneOf() string {
	if def.Allowed == nil {
		return ""
	}
	return ": one of " + strings.Join(def.Allowed, ", ")
}

// Outline shows the fields that a group must have, {...} if it need have none.
func (def *Definition) Outline() string {
	var must []string
	for _, f := range def.Fields {
		if f.Need == MustGive && f.Misleading == "" {
			must = append(must, f.Name+": ...")
		}
	}
	if must == nil {
		return "{...}"
	}
	return "{" + strings.Join(must, ", ") + "}"
}

// FieldNames lists the first fields that a group may have.
func (def *Definition) FieldNames() string {
	var names []string
	for _, f := range def.Fields {
		if f.Misleading == "" && len(names) < fieldsNamed {
			names = append(names, f.Name)
		}
	}
	return strings.Join(names, ", ")
}

// fieldsNamed is how many fields of a group a message names.
const fieldsNamed = 8

// ValuesFix says what the values that a field allows stand for, as far as its
// documentation tells.
func (def *Definition) ValuesFix() string {
	if len(def.meanings) == 0 {
		return "use one of the values listed"
	}
	var parts []string
	for _, m := range def.meanings {
		parts = append(parts, m.value+" ("+m.is+")")
	}
	return "use the one that applies: " + strings.Join(parts, "; ")
}
