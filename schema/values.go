package schema

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"

	"example.org/headroom/schema/internal/source"
)

// Values returns every value of the specification by its path, as compact
// JSON, with the defaults put in: what counts, whatever the file looks like. A
// list is one value; those whose order means nothing are sorted. What is
// absent is not in it, and neither is what holds a mistake.
func (s *Spec) Values() map[string]string {
	out := map[string]string{}
	collectValues(reflect.ValueOf(s).Elem(), "", out)
	return out
}

// isLeaf reports whether a type is one value of a specification.
func isLeaf(t reflect.Type) bool {
	switch t {
	case reflect.TypeFor[Number](), reflect.TypeFor[Range]():
		return true
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Map, reflect.Pointer:
		return t == reflect.TypeFor[*bool]()
	}
	return true
}

func collectValues(v reflect.Value, path string, out map[string]string) {
	switch {
	case isLeaf(v.Type()):
		if text := leafText(v, path); text != "" {
			out[path] = text
		}
	case v.Kind() == reflect.Pointer:
		if !v.IsNil() {
			collectValues(v.Elem(), path, out)
		}
	case v.Kind() == reflect.Map:
		for _, key := range v.MapKeys() {
			collectValues(v.MapIndex(key), source.Join(path, key.String()), out)
		}
	default:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
			switch {
			case field.Anonymous:
				collectValues(v.Field(i), path, out)
			case name != "" && name != "-":
				collectValues(v.Field(i), source.Join(path, name), out)
			}
		}
	}
}

// leafText is a value as compact JSON, "" if it is absent.
func leafText(v reflect.Value, path string) string {
	switch x := v.Interface().(type) {
	case Number:
		if !x.Known {
			return ""
		}
	case Range:
		if x == (Range{}) {
			return ""
		}
	case string:
		if x == "" {
			return ""
		}
	case []string:
		x = slices.Sorted(slices.Values(x))
		if len(x) == 0 {
			return ""
		}
		v = reflect.ValueOf(x)
	default:
		switch v.Kind() {
		case reflect.Slice:
			if v.Len() == 0 {
				return ""
			}
		case reflect.Pointer:
			if v.IsNil() {
				return ""
			}
		}
	}
	text, err := json.Marshal(v.Interface())
	if err != nil {
		panic("schema: the value of " + path + " cannot be written: " + err.Error()) // every type of a specification can
	}
	return string(text)
}
