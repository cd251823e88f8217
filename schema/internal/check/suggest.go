package check

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
	"example.org/headroom/schema/internal/spell"
)

// suggestion is what a misspelt field name may have meant.
type suggestion struct {
	names    []string
	unitless bool   // the name lacks the unit that its number needs
	within   string // where in a group below the name belongs, as it is written there
	written  string // the field with the value converted to its unit
}

// question asks whether a suggestion was meant.
func (s suggestion) question() string {
	if len(s.names) == 0 {
		return ""
	}
	return "; did you mean " + strings.Join(s.names, " or ") + "?"
}

// advice says what to do about an unknown field.
func (s suggestion) advice(name string, def *define.Definition) string {
	switch {
	case s.written != "":
		return "write " + s.written
	case s.unitless:
		return fmt.Sprintf("numbers carry their unit in the field's name: write %s", strings.Join(s.names, " or "))
	case s.within != "":
		return "move it into its group: " + s.within
	case len(s.names) > 0:
		return fmt.Sprintf("rename it to %s", strings.Join(s.names, " or "))
	}
	var names []string
	for _, f := range def.Fields {
		if f.Misleading == "" {
			names = append(names, f.Name)
		}
	}
	return "remove it, or use one of these fields: " + strings.Join(names, ", ")
}

// groupOf finds the group one level below that has a field of a name, and shows the
// field in it; "" if there is none.
func groupOf(name string, def *define.Definition) string {
	for _, f := range def.Fields {
		group, form := f.Value, f.Name+": {%s: ...}"
		if group.Keys != nil {
			group, form = group.Element, f.Name+": {id: {%s: ...}}"
		}
		if f.Misleading == "" && group.Kinds.Has(source.ObjectKind) && group.Field(name) != nil && group.Field(name).Misleading == "" {
			return fmt.Sprintf(form, name)
		}
	}
	return ""
}

// suggestField finds the fields that a misspelt name may have meant: the same
// word with another unit or none, else the closest spelling.
func suggestField(name string, v *source.Value, def *define.Definition) suggestion {
	stem, unit := looseUnit(name)
	var names, sameStem, sameUnit []string
	for _, f := range def.Fields {
		if f.Misleading != "" {
			continue
		}
		names = append(names, f.Name)
		if strings.EqualFold(f.Name, name) {
			return suggestion{names: []string{f.Name}}
		}
		fieldStem, fieldUnit := define.SplitUnit(f.Name)
		if fieldUnit == "" || !strings.EqualFold(fieldStem, stem) {
			continue
		}
		sameStem = append(sameStem, f.Name)
		if strings.EqualFold(fieldUnit, unit) {
			sameUnit = append(sameUnit, f.Name)
		}
	}
	within := groupOf(name, def)
	switch {
	case within != "" && len(sameStem) == 0:
		return suggestion{within: within}
	case len(sameUnit) > 0:
		return suggestion{names: sameUnit}
	case len(sameStem) > 0 && unit != "":
		return suggestion{names: sameStem, written: converted(sameStem[0], unit, v)}
	case len(sameStem) > 0:
		return suggestion{names: sameStem, unitless: unit == "" && (v.Kind == source.NumberKind || v.Kind == source.TextKind)}
	}
	// A number is not what a group of fields is called by.
	names = slices.DeleteFunc(names, func(n string) bool {
		return v.Kind == source.NumberKind && !def.Field(n).Value.Kinds.Has(source.NumberKind)
	})
	if s := spell.Closest(name, names); s != "" {
		return suggestion{names: []string{s}}
	}
	return suggestion{}
}

// converted writes a field with a number that was given in another unit; "" where
// the two units measure different things.
func converted(field, unit string, v *source.Value) string {
	_, to := define.SplitUnit(field)
	of, from := scaleOf(unit)
	into, base := scaleOf(to)
	if v.Kind != source.NumberKind || from != base || base == "" {
		return ""
	}
	// Through a dozen digits, so that 0.015 Ohm are 15 mOhm and no hair less.
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v.Number*of/into, 'g', 12, 64), 64)
	if err != nil {
		return ""
	}
	return field + ": " + source.FormatNumber(rounded)
}

// scaleOf is the scale of a unit over the base unit that it counts in.
func scaleOf(unit string) (scale float64, base string) {
	switch unit {
	case "min":
		return 60, "s"
	case "h":
		return 3600, "s"
	}
	for _, base := range []string{"Ohm", "A", "V", "W", "m", "F", "s"} {
		prefix, ok := strings.CutSuffix(unit, base)
		if !ok {
			continue
		}
		switch prefix {
		case "":
			return 1, base
		case "k":
			return 1e3, base
		case "c":
			return 1e-2, base
		case "m":
			return 1e-3, base
		case "u":
			return 1e-6, base
		case "n":
			return 1e-9, base
		}
	}
	return 0, ""
}

// looseUnit cuts a unit in any usual spelling off a name.
func looseUnit(name string) (stem, unit string) {
	if stem, unit := define.SplitUnit(name); unit != "" {
		return stem, unit
	}
	i := strings.LastIndexAny(name, "_-")
	if i <= 0 {
		return name, ""
	}
	switch strings.ToLower(name[i+1:]) {
	case "a", "amp", "amps", "ampere", "amperes":
		return name[:i], "A"
	case "v", "volt", "volts", "vdc":
		return name[:i], "V"
	case "w", "watt", "watts":
		return name[:i], "W"
	case "ohm", "ohms":
		return name[:i], "Ohm"
	case "mohm", "mohms", "milliohm", "milliohms":
		return name[:i], "mOhm"
	case "s", "sec", "secs", "second", "seconds":
		return name[:i], "s"
	case "m", "metre", "metres", "meter", "meters":
		return name[:i], "m"
	case "c", "celsius", "degc":
		return name[:i], "C"
	case "ah":
		return name[:i], "Ah"
	case "uf":
		return name[:i], "uF"
	case "mf":
		return name[:i], "mF"
	case "ma":
		return name[:i], "mA"
	case "mv":
		return name[:i], "mV"
	case "kw":
		return name[:i], "kW"
	case "kohm", "kohms":
		return name[:i], "kOhm"
	case "cm":
		return name[:i], "cm"
	case "mm":
		return name[:i], "mm"
	case "ms":
		return name[:i], "ms"
	case "min", "minutes":
		return name[:i], "min"
	case "h", "hours":
		return name[:i], "h"
	}
	return name, ""
}

// Closest returns the candidate whose spelling is nearest to a word, or "" when
// none is near.
func Closest(word string, candidates []string) string { return spell.Closest(word, candidates) }
