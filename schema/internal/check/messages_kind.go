package check

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// truthFix says how a word that is meant as yes or no is written: in YAML 1.2 and
// in CUE yes, no, on and off are texts.
func truthFix(text, name string) string {
	switch strings.ToLower(text) {
	case "yes", "y", "on", "true":
		return fmt.Sprintf("write %s: true, without quotation marks", name)
	case "no", "n", "off", "false":
		return fmt.Sprintf("write %s: false, without quotation marks", name)
	}
	return fmt.Sprintf("write %s: true or %s: false, without quotation marks", name, name)
}

// listFix says how a list is written where a single value stands.
func listFix(def *define.Definition, name, found string) string {
	if def.Element.Kinds == define.KindsOf(source.ObjectKind) {
		return fmt.Sprintf("write %s: [%s], with such an entry for each", name, def.Element.Outline())
	}
	return fmt.Sprintf("put it in square brackets: %s: [%s]", name, found)
}

// groupFix says how a group of fields is written where a single value stands: with
// the value in the fields that it may be meant for, where these are few.
func groupFix(d *source.Value, def *define.Definition, path, name string) string {
	write := "write " + name + ": "
	if isIndex(path[strings.LastIndexByte(path, '.')+1:]) {
		write = "write it as " // an entry of a list has no name
	}
	if def.Keys != nil {
		entry := "..."
		if def.Element.Kinds == define.KindsOf(source.ObjectKind) {
			entry = def.Element.Outline()
		}
		return write + "{id: " + entry + "}, with an entry for each id"
	}
	var meant []string
	value, unit := numberIn(d)
	required := 0
	for _, f := range def.Fields {
		if f.Misleading != "" {
			continue
		}
		if f.Need == define.MustGive {
			required++
		}
		if value != "" && f.Value.Kinds.Has(source.NumberKind) && (unit == "" || strings.EqualFold(unit, define.UnitOf(f.Name))) {
			meant = append(meant, fmt.Sprintf("{%s: %s}", f.Name, value))
		}
	}
	switch {
	case required > 1: // one value cannot be all of them
	case len(meant) == 1:
		return write + meant[0]
	case len(meant) > 1 && len(meant) <= 3:
		return write + strings.Join(meant, " or ") + ", whichever applies"
	}
	text := write + def.Outline()
	if required == 0 {
		text += " with fields of these: " + def.FieldNames()
	}
	return text
}

// isIndex reports whether the last element of a path is that of a list.
func isIndex(element string) bool {
	_, err := strconv.Atoi(element)
	return err == nil
}

// numberIn is the number that a value holds, as it is written, and the unit behind it.
func numberIn(d *source.Value) (value, unit string) {
	switch d.Kind {
	case source.NumberKind:
		return d.Show(), ""
	case source.TextKind:
		if m := leadingNumber.FindStringSubmatch(d.Text); m != nil {
			return strings.Replace(m[1], ",", ".", 1), m[2]
		}
	}
	return "", ""
}
