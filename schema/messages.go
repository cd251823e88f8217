package schema

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// units lists the endings of field names that are units, longest first.
func units() []string {
	return []string{
		"_V_dc", "_V_ac", "_A_dc", "_A2s", "_mOhm", "_kOhm", "_Ohm", "_mm2", "_percent",
		"_mA", "_mV", "_uF", "_mm", "_Ah", "_Nm", "_deg", "_A", "_V", "_W", "_J", "_m", "_C", "_K", "_s",
	}
}

// splitUnit cuts the unit off a field's name: "rated_V_dc" is "rated" in "V".
func splitUnit(name string) (stem, unit string) {
	for _, u := range units() {
		if s, ok := strings.CutSuffix(name, u); ok && s != "" {
			u = strings.TrimPrefix(u, "_")
			u, _, _ = strings.Cut(u, "_")
			return s, u
		}
	}
	return name, ""
}

// unitOf returns the unit that a field's name ends in, or "". The points of a
// curve are named by the unit alone.
func unitOf(name string) string {
	switch name {
	case "A", "V", "s":
		return name
	}
	_, unit := splitUnit(name)
	return strings.Replace(unit, "deg", "degrees", 1)
}

// UnitOf is the unit that a field's name carries, such as "mOhm" of
// resistance_mOhm; "" if it carries none.
func UnitOf(field string) string { return unitOf(field) }

func withUnit(v float64, unit string) string {
	return strings.TrimSpace(formatNumber(v) + " " + unit)
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

func formatLarge(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

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

// form describes a form of text in words.
type form struct {
	what string
	fix  func(string) string
}

func always(fix string) func(string) string { return func(string) string { return fix } }

// formOf describes the form of a definition that has one.
func formOf(def *definition) form {
	switch def.name {
	case "#WireSize":
		return form{`a size with its unit, such as "70 mm2", "2/0 AWG" or "2/0 SAE"`, sizeFix}
	case "#Id":
		return form{"an id: small letters, digits and underscores, beginning with a letter", idFix}
	case "#RuleId":
		return form{"the id of a rule, such as fuse-breaking-low", always("use an id as the list of rules shows it")}
	case "#Sentence":
		return form{"a sentence", always("say in a sentence why it is safe to leave it so")}
	case "#Date":
		return form{"a day, written year-month-day", always("write the last day on which the waiver holds, such as \"2027-03-31\"")}
	case "#Terminal":
		return form{"a terminal, written part.terminal", always("write part.terminal, such as pack.pos")}
	case "#Closable":
		return form{"the id of something that closes, such as key or key.house", always("write the id, or id.pole")}
	}
	return form{"of the form that the field takes", always("write it as the documentation of the field shows")}
}

// wellWritten matches a size that is written as it should be, whether there is
// such a size or not.
var wellWritten = regexp.MustCompile(`^[0-9]+([./][0-9]+)? (mm2|AWG|SAE)$`)

var anySize = regexp.MustCompile(`(?i)^\s*([0-9]+(?:[.,/][0-9]+)?)\s*(mm2|mm²|mm\^2|sqmm|qmm|awg|sae|ga|gauge)?\s*$`)

// sizeFix says how a conductor size should be written.
func sizeFix(text string) string {
	m := anySize.FindStringSubmatch(text)
	if m == nil {
		return `write the number, a space and the unit: "70 mm2", "2/0 AWG" or "2/0 SAE"`
	}
	number := strings.Replace(m[1], ",", ".", 1)
	switch unit := strings.ToLower(m[2]); unit {
	case "":
		if strings.Contains(number, "/") {
			return fmt.Sprintf(`write %q or %q, whichever is printed on the cable`, number+" AWG", number+" SAE")
		}
		var known []string
		for _, unit := range []string{"mm2", "AWG", "SAE"} {
			if isSize(number, unit) {
				known = append(known, strconv.Quote(number+" "+unit))
			}
		}
		switch len(known) {
		case 0:
			return `write the size with its unit: "70 mm2", "2/0 AWG" or "2/0 SAE"`
		case 1:
			return "write " + known[0]
		}
		last := len(known) - 1
		return "write " + strings.Join(known[:last], ", ") + " or " + known[last] + ", whichever is printed on the cable"
	case "awg", "sae":
		return standardOr(text, number+" "+strings.ToUpper(unit))
	case "ga", "gauge":
		return fmt.Sprintf(`write %q, or %q for vehicle cable`, number+" AWG", number+" SAE")
	}
	return standardOr(text, number+" mm2")
}

// standardOr offers a size as it should be written, or the sizes there are
// when it is written well.
func standardOr(text, size string) string {
	if whole, _, ok := strings.Cut(size, ".0 "); ok {
		size = whole + " mm2"
	}
	if text != size {
		return fmt.Sprintf("write %q", size)
	}
	_, unit, _ := strings.Cut(size, " ")
	return fmt.Sprintf("use one of the sizes in %s: %s", unit, standardSizes(unit))
}

// isSize reports whether the format knows a conductor size.
func isSize(number, unit string) bool {
	if unit == "AWG" {
		if n, err := strconv.Atoi(number); err == nil {
			return n >= 1 && n <= 30
		}
	}
	return slices.Contains(strings.Split(standardSizes(unit), ", "), number)
}

// standardSizes lists the conductor sizes that the format knows.
func standardSizes(unit string) string {
	switch unit {
	case "AWG":
		return "30 to 1, 1/0, 2/0, 3/0, 4/0"
	case "SAE":
		return "18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 1/0, 2/0, 3/0, 4/0"
	}
	return "0.35, 0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 50, 60, 70, 95, 120, 150, 185, 240"
}

var notInID = regexp.MustCompile(`[^a-z0-9_]+`)

// idFix offers an id close to a text that is none.
func idFix(text string) string {
	if id := idOf(text); id != "" {
		return "write " + id + ", here and wherever it is named"
	}
	return "choose an id such as main_fuse"
}

// idOf is the id close to a text, the text itself if it is one; "" if there is
// none.
func idOf(text string) string {
	var b strings.Builder
	lower := true // whether the last rune was no capital
	for i, r := range text {
		if unicode.IsUpper(r) && lower && i > 0 {
			b.WriteByte('_')
		}
		lower = !unicode.IsUpper(r)
		b.WriteRune(unicode.ToLower(r))
	}
	id := strings.Trim(notInID.ReplaceAllString(b.String(), "_"), "_")
	for strings.Contains(id, "__") {
		id = strings.ReplaceAll(id, "__", "_")
	}
	if id != "" && id[0] >= '0' && id[0] <= '9' {
		return ""
	}
	return id
}

var plainName = regexp.MustCompile(`^[A-Za-z0-9_#][-A-Za-z0-9_]*$`)

// pathElement renders a name in a path, in quotation marks if it needs them.
func pathElement(name string) string {
	if plainName.MatchString(name) {
		return name
	}
	return strconv.Quote(name)
}
