package schema

import "strings"

// isReference reports whether a text names something in the specification; the
// form of such a text is judged together with what it refers to.
func (def *definition) isReference() bool {
	return def.name == "#Id" || def.name == "#Terminal" || def.name == "#Closable"
}

// below reports whether a number lies below a lower bound.
func (b bound) below(v float64) bool {
	return b.set && (v < b.value || b.open && v == b.value)
}

// above reports whether a number lies above an upper bound.
func (b bound) above(v float64) bool {
	return b.set && (v > b.value || b.open && v == b.value)
}

// describe says what a value of a field must be.
func (def *definition) describe(name string) string {
	var ways []string
	switch {
	case def.allowed != nil:
		ways = append(ways, "one of "+strings.Join(def.allowed, ", "))
	case def.kinds.has(textKind) && def.form != nil:
		ways = append(ways, formOf(def).what)
	case def.kinds.has(textKind):
		ways = append(ways, "a text")
	}
	if def.kinds.has(numberKind) {
		ways = append(ways, def.describeNumber(name))
	}
	if def.kinds.has(boolKind) {
		ways = append(ways, "true or false")
	}
	if def.kinds.has(listKind) {
		ways = append(ways, "a list")
	}
	if def.kinds.has(objectKind) {
		ways = append(ways, "a group of fields")
	}
	return strings.Join(ways, " or ")
}

func (def *definition) describeNumber(name string) string {
	var numbers []string
	for _, c := range def.counts {
		numbers = append(numbers, formatNumber(c))
	}
	if numbers != nil {
		return strings.Join(numbers, " or ")
	}
	what := "a number"
	if def.integer {
		what = "a whole number"
	}
	if unit := unitOf(name); unit != "" {
		what += " in " + unit
	}
	return what
}

// limits says between which values a number must lie.
func (def *definition) limits(unit string) string {
	var parts []string
	if def.low.set {
		words := "at least "
		if def.low.open {
			words = "above "
		}
		parts = append(parts, words+formatNumber(def.low.value))
	}
	if def.high.set {
		words := "at most "
		if def.high.open {
			words = "below "
		}
		parts = append(parts, words+formatLarge(def.high.value))
	}
	return strings.TrimSpace(strings.Join(parts, " and ") + " " + unit)
}

// oneOf lists the texts that a field allows, behind a fix that asks for one; "" if
// it allows any.
func (def *definition) oneOf() string {
	if def.allowed == nil {
		return ""
	}
	return ": one of " + strings.Join(def.allowed, ", ")
}

// outline shows the fields that a group must have, {...} if it need have none.
func (def *definition) outline() string {
	var must []string
	for _, f := range def.fields {
		if f.need == mustGive && f.misleading == "" {
			must = append(must, f.name+": ...")
		}
	}
	if must == nil {
		return "{...}"
	}
	return "{" + strings.Join(must, ", ") + "}"
}

// fieldNames lists the first fields that a group may have.
func (def *definition) fieldNames() string {
	var names []string
	for _, f := range def.fields {
		if f.misleading == "" && len(names) < fieldsNamed {
			names = append(names, f.name)
		}
	}
	return strings.Join(names, ", ")
}

// fieldsNamed is how many fields of a group a message names.
const fieldsNamed = 8

// valuesFix says what the values that a field allows stand for, as far as its
// documentation tells.
func (def *definition) valuesFix() string {
	if len(def.meanings) == 0 {
		return "use one of the values listed"
	}
	var parts []string
	for _, m := range def.meanings {
		parts = append(parts, m.value+" ("+m.is+")")
	}
	return "use the one that fits: " + strings.Join(parts, "; ")
}
