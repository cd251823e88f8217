package schema

import (
	"fmt"
	"reflect"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// filler puts values as given into the types of the model, with the defaults of
// the definitions and without what holds a mistake.
type filler struct {
	fields   map[reflect.Type]map[string][]int // by name in the format, where a struct has a field
	fallback source.Value                      // the default that is being put
}

// fill puts a value into what a pointer points to.
func (c *filler) fill(into any, d *source.Value, def *define.Definition) error {
	return c.put(reflect.ValueOf(into).Elem(), d, def)
}

func (c *filler) put(v reflect.Value, d *source.Value, def *define.Definition) error {
	switch x := v.Addr().Interface().(type) {
	case *Number:
		x.Known = true
		return c.put(reflect.ValueOf(&x.Value).Elem(), d, def)
	case *Range:
		if d.Kind == source.NumberKind { // a plain number is the typical value
			x.Typ = Some(d.Number)
			return nil
		}
	}
	kind := v.Kind()
	switch {
	case kind == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return c.put(v.Elem(), d, def)
	case kind == reflect.Struct && d.Kind == source.ObjectKind:
		return c.group(v, d, def)
	case kind == reflect.Map && d.Kind == source.ObjectKind:
		return c.entries(v, d, def)
	case kind == reflect.Slice && d.Kind == source.ListKind:
		return c.list(v, d, def)
	case kind == reflect.Slice && d.Kind == source.TextKind: // "none": a list of nothing, which is not an unknown one
		v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	case kind == reflect.String && d.Kind == source.TextKind:
		v.SetString(d.Text)
	case kind == reflect.Float64 && d.Kind == source.NumberKind:
		v.SetFloat(d.Number)
	case kind == reflect.Int && d.Kind == source.NumberKind && d.Number == float64(int(d.Number)):
		v.SetInt(int64(d.Number))
	case kind == reflect.Bool && d.Kind == source.BoolKind:
		v.SetBool(d.Flag)
	default:
		return fmt.Errorf("%s does not fit a %s", d.Show(), v.Type())
	}
	return nil
}

// usable reports whether a value may be put into the model.
func usable(d *source.Value) bool { return d != nil && !d.Broken && d.Kind != source.OpenKind }

// group fills a struct: with what is given, else with what the definitions give.
func (c *filler) group(v reflect.Value, d *source.Value, def *define.Definition) error {
	at := c.fieldsOf(v.Type())
	for _, f := range def.Fields {
		index, known := at[f.Name]
		given := d.Get(f.Name)
		switch {
		case !known || f.Misleading != "":
			continue
		case usable(given):
		case f.Need != define.HasDefault:
			continue
		case f.Value.Fallback != nil:
			given = c.asGiven(f.Value.Fallback)
		default:
			given = &source.Value{Kind: source.ObjectKind}
		}
		if err := c.put(v.FieldByIndex(index), given, f.Value); err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	return nil
}

// asGiven is a default as if it had been given.
func (c *filler) asGiven(fallback any) *source.Value {
	c.fallback = source.Value{}
	switch x := fallback.(type) {
	case string:
		c.fallback.Kind, c.fallback.Text = source.TextKind, x
	case bool:
		c.fallback.Kind, c.fallback.Flag = source.BoolKind, x
	case float64:
		c.fallback.Kind, c.fallback.Number = source.NumberKind, x
	}
	return &c.fallback
}

// entries fills a map.
func (c *filler) entries(v reflect.Value, d *source.Value, def *define.Definition) error {
	v.Set(reflect.MakeMapWithSize(v.Type(), len(d.Members)))
	for name, given := range d.Each() {
		if !usable(given) {
			continue
		}
		entry := reflect.New(v.Type().Elem()).Elem()
		if err := c.put(entry, given, def.Element); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		v.SetMapIndex(reflect.ValueOf(name), entry)
	}
	return nil
}

// list fills a slice.
func (c *filler) list(v reflect.Value, d *source.Value, def *define.Definition) error {
	v.Set(reflect.MakeSlice(v.Type(), 0, len(d.Items)))
	for _, given := range d.Items {
		if !usable(given) {
			continue
		}
		n := v.Len()
		v.SetLen(n + 1)
		if err := c.put(v.Index(n), given, def.Element); err != nil {
			return fmt.Errorf("%d: %w", n, err)
		}
	}
	return nil
}

// fieldsOf finds the fields of a struct, those of what it embeds included.
func (c *filler) fieldsOf(t reflect.Type) map[string][]int {
	at, ok := c.fields[t]
	if ok {
		return at
	}
	at = map[string][]int{}
	for _, f := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" {
			name = strings.ToLower(f.Name) // Min, Typ and Max of a range
		}
		if !f.Anonymous && name != "-" {
			at[name] = f.Index
		}
	}
	if c.fields == nil {
		c.fields = map[reflect.Type]map[string][]int{}
	}
	c.fields[t] = at
	return at
}
