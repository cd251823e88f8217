package schema

import (
	"reflect"
	"strings"
	"testing"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// TestDefinitionsMatchTypes checks that the definitions and the Go types have
// the same fields, and that a value which the Go type cannot leave open is
// required or has a default.
func TestDefinitionsMatchTypes(t *testing.T) {
	matchType(t, "spec", reflect.TypeFor[Spec](), define.Spec())
}

func matchType(t *testing.T, path string, typ reflect.Type, def *define.Definition) {
	t.Helper()
	for typ.Kind() == reflect.Pointer {
		typ = typ.Elem()
	}
	switch typ {
	case reflect.TypeFor[Number]():
		if !def.Kinds.Has(source.NumberKind) {
			t.Errorf("%s is a number in Go only", path)
		}
		return
	case reflect.TypeFor[Range]():
		typ = reflect.TypeFor[struct{ Min, Typ, Max Number }]()
	}
	switch typ.Kind() {
	case reflect.Map, reflect.Slice:
		if def.Element == nil {
			t.Errorf("%s is a collection in Go only", path)
			return
		}
		matchType(t, path+"[]", typ.Elem(), def.Element)
	case reflect.Struct:
		inGo := map[string]bool{"headroom": path == "spec"}
		goFields(typ, func(name string, f reflect.StructField) {
			inGo[name] = true
			d := def.Field(name)
			if d == nil {
				t.Errorf("%s.%s has no definition", path, name)
				return
			}
			scalar := f.Type.Kind() == reflect.Float64 || f.Type.Kind() == reflect.Int
			if scalar && d.Need == define.MayGive {
				t.Errorf("%s.%s is optional, but the Go type cannot tell that it is absent", path, name)
			}
			matchType(t, path+"."+name, f.Type, d.Value)
		})
		for _, f := range def.Fields {
			if !inGo[f.Name] && f.Misleading == "" {
				t.Errorf("%s.%s has no field in Go", path, f.Name)
			}
		}
	}
}

// goFields calls f with each field of a struct by its name in the format,
// those of embedded structs included.
func goFields(typ reflect.Type, f func(string, reflect.StructField)) {
	for i := range typ.NumField() {
		field := typ.Field(i)
		tag := field.Tag.Get("json")
		switch {
		case field.Anonymous:
			goFields(field.Type, f)
		case tag == "-" || !field.IsExported():
		case tag == "":
			f(strings.ToLower(field.Name), field)
		default:
			f(tag, field)
		}
	}
}
