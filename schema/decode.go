package schema

import (
	"fmt"
	"slices"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// decodeInto fills the map of one kind. Entities with a mistake are kept apart
// in ghosts: nothing may be computed of them, but what they are called and
// which terminals they have still tells a wrong reference from a right one.
func decodeInto[T any](m *assembly, kind string, into *map[string]*T, name func(v *T, kind, id string)) {
	group, def := m.root.Get(kind), m.spec.Field(kind).Value
	if group == nil || group.Kind != source.ObjectKind || group.Broken {
		return
	}
	for id, d := range group.Each() {
		if d.Kind != source.ObjectKind {
			continue
		}
		v := new(T)
		if !d.Sound() {
			m.BreakEntity(kind + "." + id) // whatever the reason, nothing may be computed of it
		}
		broken := d.Broken || m.IsBroken(kind+"."+id)
		if err := m.fill(v, d, def.Element); err != nil {
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
			if m.IsBroken(kind + "." + id) {
				delete(*into, id)
			}
		}
	})
}

// assembly turns checked values into a Spec.
type assembly struct {
	*source.Collector
	filler
	root  *source.Value
	spec  *define.Definition
	parts map[string]Part // by path, those with a mistake included
	prune []func()        // takes out what turned out to hold a mistake
	err   error
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
	decodeInto(m, "breakers", &s.Breakers, named)
	decodeInto(m, "disconnects", &s.Disconnects, named)
	decodeInto(m, "contactors", &s.Contactors, named)
	decodeInto(m, "relays", &s.Relays, named)
	decodeInto(m, "timers", &s.Timers, named)
	decodeInto(m, "cutouts", &s.Cutouts, named)
	decodeInto(m, "resistors", &s.Resistors, named)
	decodeInto(m, "shunts", &s.Shunts, named)
	decodeInto(m, "meters", &s.Meters, named)
	decodeInto(m, "switches", &s.Switches, named)
	decodeInto(m, "converters", &s.Converters, named)
	decodeInto(m, "chargers", &s.Chargers, named)
	decodeInto(m, "solar", &s.Solar, named)
	decodeInto(m, "connectors", &s.Connectors, named)
	decodeInto(m, "controllers", &s.Controllers, named)
	decodeInto(m, "motors", &s.Motors, named)
	decodeInto(m, "loads", &s.Loads, named)
	decodeInto(m, "diodes", &s.Diodes, named)
	decodeInto(m, "studs", &s.Studs, named)
	decodeInto(m, "blocks", &s.Blocks, named)
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
	d := m.root.Get("cycle")
	if d == nil {
		return
	}
	if d.Kind != source.ListKind || !d.Sound() {
		m.BreakEntity("cycle")
		return
	}
	if err := m.fill(steps, d, m.spec.Field("cycle").Value); err != nil {
		m.fail("cycle", err)
	}
	m.prune = append(m.prune, func() {
		if m.IsBroken("cycle") { // by a step of a mode that does not exist
			*steps = nil
		}
	})
}

// waivers decodes the waivers that are without a mistake: one whose terms are
// not clear accepts nothing.
func (m *assembly) waivers(into *[]Waiver) {
	d, def := m.root.Get("waivers"), m.spec.Field("waivers").Value
	if d == nil || d.Kind != source.ListKind || d.Broken {
		return
	}
	for i, item := range d.Items {
		w := Waiver{Index: i}
		if path := w.Path(); !item.Sound() || m.IsBroken(path) {
			m.BreakEntity(path)
			continue
		}
		if err := m.fill(&w, item, def.Element); err != nil {
			m.fail(w.Path(), err)
			continue
		}
		*into = append(*into, w)
	}
}

// single decodes a group that is there once, with its defaults when absent.
func (m *assembly) single(name string, v any) {
	d := m.root.Get(name)
	if d == nil || d.Kind != source.ObjectKind {
		d = &source.Value{Kind: source.ObjectKind}
	}
	if d.Broken || d.Unsure {
		m.BreakEntity(name)
	}
	for _, f := range m.spec.Field(name).Value.Fields { // what is wrong has its default, if it has one
		if v := d.Get(f.Name); f.Need == define.MustGive && v != nil && !v.Sound() {
			m.BreakEntity(source.Join(name, f.Name))
		}
	}
	if err := m.fill(v, d, m.spec.Field(name).Value); err != nil {
		m.fail(name, err)
	}
}

// terminals lists the terminals of a part, sorted; nil when a mistake in the
// part leaves them unknown. A part with a mistake gets every terminal that its
// kind may have.
func (m *assembly) terminals(path string, d *source.Value) []string {
	part, ok := m.parts[path]
	if !ok {
		return nil
	}
	if d.Broken || m.IsBroken(path) {
		switch p := part.(type) {
		case *Battery:
			p.BMS = &BatterySwitch{Port: "separate"}
		case *Connector:
			contacts := d.Get("contacts")
			if contacts == nil || contacts.Kind != source.ListKind || len(contacts.Items) > 0 && !contacts.Sound() {
				return nil
			}
		case *Block:
			ways := d.Get("ways")
			if ways == nil || ways.Kind != source.ObjectKind || len(ways.Members) > 0 && ways.Broken {
				return nil
			}
			p.Ways = map[string]*Way{}
			for name := range ways.Each() {
				p.Ways[name] = &Way{}
			}
		case *Disconnect:
			p.Poles = 2
		case *Relay:
			p.Form = "changeover"
		case *Controller:
			p.CoilOut = &Driver{}
		case *Switch:
			poles := d.Get("poles")
			if poles == nil || poles.Kind != source.ObjectKind || len(poles.Members) > 0 && poles.Broken {
				return nil
			}
			for name := range poles.Each() {
				if p.Poles == nil {
					p.Poles = map[string]*Pole{}
				}
				p.Poles[name] = &Pole{}
			}
		}
	}
	names := []string{} // a part may have none, and then has been reported
	for _, t := range part.Terminals() {
		names = append(names, t.Name)
	}
	slices.Sort(names)
	return names
}
