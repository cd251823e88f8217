package define

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// form describes a form of text in words.
type form struct {
	What string
	Fix  func(string) string
}

// FormOf describes the form of a definition that has one.
func FormOf(def *Definition) form {
	switch def.Name {
	case "#WireSize":
		return form{`a size with its unit, such as "70 mm2", "2/0 AWG" or "2/0 SAE"`, sizeFix}
	case "#Id":
		return form{"an id: lower-case letters, digits and underscores, beginning with a letter", idFix}
	case "#RuleId":
		return form{"the id of a rule, such as fuse-breaking-low", always("use an id from \"headroom rules\"")}
	case "#Sentence":
		return form{"a sentence", always("write a sentence: why is it safe?")}
	case "#Date":
		return form{"a day, written year-month-day", always("write the last day on which the waiver is valid, such as \"2027-03-31\"")}
	case "#Terminal":
		return form{"a terminal, written part.terminal", always("write part.terminal, such as pack.pos")}
	case "#Closable":
		return form{"the id of something that is closed by hand, such as key or key.house", always("write the id, or id.pole")}
	}
	return form{"in the required form", always("write it as in the documentation of the field")}
}

// WellWritten matches a size that is written as it should be, whether there is
// such a size or not.
var WellWritten = regexp.MustCompile(`^[0-9]+([./][0-9]+)? (mm2|AWG|SAE)$`)

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
	if id := IDOf(text); id != "" {
		return "write " + id + ", here and in every reference to it"
	}
	return "choose an id such as main_fuse"
}

// IDOf is the id close to a text, the text itself if it is one; "" if there is
// none.
func IDOf(text string) string {
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

func always(fix string) func(string) string { return func(string) string { return fix } }
