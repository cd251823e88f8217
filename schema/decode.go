package schema

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
)

// decodeInto fills the map of one kind. Entities with a mistake are kept apart
// in ghosts: nothing may be computed of them, but what they are called and
// which terminals they have still tells a wrong reference from a right one.
func decodeInto[T any](m *assembly, kind string, into *map[string]*T, name func(v *T, kind, id string)) {
	group, def := m.root.get(kind), m.spec.byName[kind].value
	if group == nil || group.kind != objectKind || group.broken {
		return
	}
	for id, d := range group.each() {
		if d.kind != objectKind {
			continue
		}
		v := new(T)
		m.buffer = appendValue(m.buffer[:0], d, def.element)
		if !d.sound() {
			m.breakEntity(kind + "." + id) // whatever the reason, nothing may be computed of it
		}
		broken := d.broken || m.isBroken(kind+"."+id)
		if err := json.Unmarshal(m.buffer, v); err != nil {
			if !broken {
				m.fail(kind+"."+id, err)
			}
			continue
		}
		name(v, kind, id)
		if part, ok := any(v).(Part); ok {
			m.parts[kind+"."+id] = part
		}
		if broken {
			continue
		}
		if *into == nil {
			*into = map[string]*T{}
		}
		(*into)[id] = v
	}
	m.prune = append(m.prune, func() {
		for id := range *into {
			if m.isBroken(kind + "." + id) {
				delete(*into, id)
			}
		}
	})
}

// assembly turns checked values into a Spec.
type assembly struct {
	*collector
	root   *datum
	spec   *definition
	parts  map[string]Part // by path, those with a mistake included
	buffer []byte
	prune  []func() // takes out what turned out to hold a mistake
	err    error
}

func (m *assembly) fail(path string, err error) {
	if m.err == nil {
		m.err = fmt.Errorf("%s: %w", path, err)
	}
}

func named[T any, P interface {
	*T
	Part
}](v *T, kind, id string) {
	b := P(v).Common()
	b.Kind, b.ID = kind, id
}

func namedBase[T any, P interface {
	*T
	Common() *Base
}](v *T, kind, id string) {
	b := P(v).Common()
	b.Kind, b.ID = kind, id
}

// build decodes everything that is without a mistake.
func (m *assembly) build(s *Spec) error {
	*s = Spec{source: s.source}
	m.single("vehicle", &s.Vehicle)
	m.single("policy", &s.Policy)
	zones := map[string]*Zone{}
	decodeInto(m, "zones", &zones, func(*Zone, string, string) {})
	for id, z := range zones {
		if s.Zones == nil {
			s.Zones = map[string]Zone{}
		}
		s.Zones[id] = *z
	}
	decodeInto(m, "batteries", &s.Batteries, named)
	decodeInto(m, "fuses", &s.Fuses, named)
	decodeInto(m, "disconnects", &s.Disconnects, named)
	decodeInto(m, "contactors", &s.Contactors, named)
	decodeInto(m, "relays", &s.Relays, named)
	decodeInto(m, "resistors", &s.Resistors, named)
	decodeInto(m, "shunts", &s.Shunts, named)
	decodeInto(m, "meters", &s.Meters, named)
	decodeInto(m, "switches", &s.Switches, named)
	decodeInto(m, "converters", &s.Converters, named)
	decodeInto(m, "chargers", &s.Chargers, named)
	decodeInto(m, "controllers", &s.Controllers, named)
	decodeInto(m, "loads", &s.Loads, named)
	decodeInto(m, "diodes", &s.Diodes, named)
	decodeInto(m, "studs", &s.Studs, named)
	decodeInto(m, "wires", &s.Wires, namedBase)
	decodeInto(m, "busbars", &s.Busbars, namedBase)
	decodeInto(m, "bonds", &s.Bonds, namedBase)
	decodeInto(m, "panels", &s.Panels, namedBase)
	decodeInto(m, "modes", &s.Modes, func(v *Mode, _, id string) { v.ID = id })
	m.cycle(&s.Cycle)
	m.waivers(&s.Waivers)
	return m.err
}

// cycle decodes the drive that repeats. With one step unknown nothing is known
// of it.
func (m *assembly) cycle(steps *[]CycleStep) {
	d := m.root.get("cycle")
	if d == nil {
		return
	}
	if d.kind != listKind || !d.sound() {
		m.breakEntity("cycle")
		return
	}
	if err := json.Unmarshal(appendValue(nil, d, m.spec.byName["cycle"].value), steps); err != nil {
		m.fail("cycle", err)
	}
	m.prune = append(m.prune, func() {
		if m.isBroken("cycle") { // by a step of a mode that does not exist
			*steps = nil
		}
	})
}

// waivers decodes the waivers that are without a mistake: one whose terms are
// not clear accepts nothing.
func (m *assembly) waivers(into *[]Waiver) {
	d, def := m.root.get("waivers"), m.spec.byName["waivers"].value
	if d == nil || d.kind != listKind || d.broken {
		return
	}
	for i, item := range d.items {
		w := Waiver{Index: i}
		if path := w.Path(); !item.sound() || m.isBroken(path) {
			m.breakEntity(path)
			continue
		}
		if err := json.Unmarshal(appendValue(nil, item, def.element), &w); err != nil {
			m.fail(w.Path(), err)
			continue
		}
		*into = append(*into, w)
	}
}

// single decodes a group that is there once, with its defaults when absent.
func (m *assembly) single(name string, v any) {
	d := m.root.get(name)
	if d == nil || d.kind != objectKind {
		d = &datum{kind: objectKind}
	}
	if !d.sound() {
		m.breakEntity(name)
	}
	if err := json.Unmarshal(appendValue(nil, d, m.spec.byName[name].value), v); err != nil {
		m.fail(name, err)
	}
}

// appendValue writes a value as JSON with the defaults of its definition put
// in and everything that holds a mistake left out.
func appendValue(b []byte, d *datum, def *definition) []byte {
	switch d.kind {
	case objectKind:
		return appendObject(b, d, def)
	case listKind:
		b = append(b, '[')
		begun := false
		for _, item := range d.items {
			if item.broken || item.kind == openKind {
				continue
			}
			if begun {
				b = append(b, ',')
			}
			begun = true
			b = appendValue(b, item, def.element)
		}
		return append(b, ']')
	}
	return appendScalar(b, d)
}

func appendScalar(b []byte, d *datum) []byte {
	switch d.kind {
	case textKind:
		return appendText(b, d.text)
	case numberKind:
		return strconv.AppendFloat(b, d.number, 'g', -1, 64)
	case boolKind:
		return strconv.AppendBool(b, d.flag)
	}
	return append(b, "null"...)
}

// appendText writes a JSON string. Plain ids and sizes need no escapes.
func appendText(b []byte, s string) []byte {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c >= 0x7f {
			quoted, _ := json.Marshal(s) // a string can always be encoded
			return append(b, quoted...)
		}
	}
	b = append(b, '"')
	b = append(b, s...)
	return append(b, '"')
}

func appendObject(b []byte, d *datum, def *definition) []byte {
	b = append(b, '{')
	begun := false
	name := func(n string) {
		if begun {
			b = append(b, ',')
		}
		begun = true
		b = append(appendText(b, n), ':')
	}
	if def.keys != nil {
		for n, v := range d.each() {
			if !v.broken && v.kind != openKind {
				name(n)
				b = appendValue(b, v, def.element)
			}
		}
	}
	for _, f := range def.fields {
		v := d.get(f.name)
		switch {
		case f.misleading != "":
		case v != nil && !v.broken && v.kind != openKind:
			name(f.name)
			b = appendValue(b, v, f.value)
		case f.need == hasDefault && f.value.fallback != nil:
			name(f.name)
			b = appendDefault(b, f.value.fallback)
		case f.need == hasDefault:
			name(f.name)
			b = appendObject(b, &datum{kind: objectKind}, f.value)
		}
	}
	return append(b, '}')
}

func appendDefault(b []byte, v any) []byte {
	switch v := v.(type) {
	case string:
		return appendText(b, v)
	case bool:
		return strconv.AppendBool(b, v)
	case float64:
		return strconv.AppendFloat(b, v, 'g', -1, 64)
	}
	return append(b, "null"...)
}

// terminals lists the terminals of a part, sorted; nil when a mistake in the
// part leaves them unknown. A part with a mistake gets every terminal that its
// kind may have.
func (m *assembly) terminals(path string, d *datum) []string {
	part, ok := m.parts[path]
	if !ok {
		return nil
	}
	if d.broken || m.isBroken(path) {
		switch p := part.(type) {
		case *Disconnect:
			p.Poles = 2
		case *Relay:
			p.Form = "changeover"
		case *Controller:
			p.CoilOut = &Driver{}
		case *Switch:
			poles := d.get("poles")
			if poles == nil || poles.kind != objectKind || poles.broken {
				return nil
			}
			for name := range poles.each() {
				if p.Poles == nil {
					p.Poles = map[string]*Pole{}
				}
				p.Poles[name] = &Pole{}
			}
		}
	}
	var names []string
	for _, t := range part.Terminals() {
		names = append(names, t.Name)
	}
	slices.Sort(names)
	return names
}
