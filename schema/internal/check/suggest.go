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
		return fmt.Sprintf("the unit belongs in the field's name: write %s", strings.Join(s.names, " or "))
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
		fieldStem, fieldUnit := define.SplitUnit(f.Name)
		if f.Misleading != "" || opposed(name, f.Name) || unit != "" && fieldUnit != "" && quantity(unit) != quantity(fieldUnit) {
			continue
		}
		names = append(names, f.Name)
		if strings.EqualFold(f.Name, name) {
			return suggestion{names: []string{f.Name}}
		}
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
	names = slices.DeleteFunc(names, func(n string) bool { return !likely(name, v, def.Field(n)) })
	if s := spell.Closest(name, names); s != "" {
		return suggestion{names: []string{s}}
	}
	return suggestion{}
}

// opposed reports whether two names say opposite things in one place: an AC rating
// is no slip for a DC one.
func opposed(a, b string) bool {
	for _, pair := range [][2]string{{"ac", "dc"}, {"min", "max"}, {"pos", "neg"}} {
		for i, word := range pair {
			if hasElement(a, word) && !hasElement(a, pair[1-i]) && hasElement(b, pair[1-i]) && !hasElement(b, word) {
				return true
			}
		}
	}
	return false
}

// hasElement reports whether a word is one of those that make up a name.
func hasElement(name, word string) bool {
	return slices.Contains(strings.Split(strings.ToLower(name), "_"), word)
}

// likely reports whether a value can be meant for a field whose name is near: a
// number is not what a group of fields is called by, and motors are no meters.
func likely(name string, v *source.Value, f *define.Field) bool {
	switch v.Kind {
	case source.NumberKind:
		return f.Value.Kinds.Has(source.NumberKind)
	case source.ObjectKind:
		return spell.Distance(strings.ToLower(name), f.Name) <= 1 || f.Value.Kinds.Has(source.ObjectKind) && suits(v, f.Value)
	}
	return true
}

// suits reports whether a group could be of a definition by what it holds: most of
// its fields are known there, and one of those that must be given is among them.
func suits(v *source.Value, def *define.Definition) bool {
	groups := []*source.Value{v}
	if def.Keys != nil {
		def, groups = def.Element, groups[:0]
		for _, entry := range v.Each() {
			groups = append(groups, entry)
		}
	}
	given, known := 0, 0
	asked, met := false, false
	for _, group := range groups {
		for name := range group.Each() {
			given++
			if f := def.Field(name); f != nil && f.Misleading == "" {
				known++
			}
		}
		for _, f := range def.Fields {
			if f.Need == define.MustGive {
				asked, met = true, met || group.Get(f.Name) != nil
			}
		}
	}
	return 2*known > given && (met || !asked)
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

// quantity tells units of different things apart: the base unit, or the unit itself.
func quantity(unit string) string {
	if unit == "C" || unit == "K" {
		return "temperature"
	}
	if _, base := scaleOf(unit); base != "" {
		return base
	}
	return strings.ToLower(unit)
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
	for _, kind := range []string{"_dc", "_ac"} { // breaking_kA_dc
		if cut, ok := strings.CutSuffix(name, kind); ok {
			return looseUnit(cut)
		}
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
	case "ka":
		return name[:i], "kA"
	case "ua":
		return name[:i], "uA"
	case "kv":
		return name[:i], "kV"
	case "uohm", "uohms":
		return name[:i], "uOhm"
	case "us":
		return name[:i], "us"
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
