package schema

import (
	"iter"
	"maps"
	"slices"
)

// Part is anything with terminals that a conductor can join.
type Part interface {
	Common() *Base
	Terminals() []Terminal
}

// Terminal is a connection point of a part. A spec that leaves an optional
// terminal unconnected is complete, unless it has a pair that is connected.
type Terminal struct {
	Name     string
	Optional bool
	Pair     string // name of the other end of a contact of a connector; "" for none
}

func required(names ...string) []Terminal {
	t := make([]Terminal, len(names))
	for i, n := range names {
		t[i].Name = n
	}
	return t
}

func optional(names ...string) []Terminal {
	t := required(names...)
	for i := range t {
		t[i].Optional = true
	}
	return t
}

// contact lists the two ends of a contact of a connector, which may stay unused. Of a
// switch and of an auxiliary contact one end may lead to an input that no
// specification has.
func contact(a, b string) []Terminal { return []Terminal{{a, true, b}, {b, true, a}} }

// Terminals lists the terminals of a battery.
func (b *Battery) Terminals() []Terminal {
	if b.HasChargePort() {
		return append(required("pos", "neg"), optional("charge")...)
	}
	return required("pos", "neg")
}

// Terminals lists the terminals of a fuse.
func (*Fuse) Terminals() []Terminal { return required("a", "b") }

// Terminals lists the terminals of a breaker by its number of poles.
func (b *Breaker) Terminals() []Terminal {
	if b.Poles == 2 {
		return required("a", "b", "a2", "b2")
	}
	return required("a", "b")
}

// Terminals lists the terminals of a thermal cut-out.
func (*Cutout) Terminals() []Terminal { return required("a", "b") }

// Terminals lists the terminals of a disconnect by its number of poles.
func (d *Disconnect) Terminals() []Terminal {
	if d.Poles == 2 {
		return required("a", "b", "a2", "b2")
	}
	return required("a", "b")
}

// Terminals lists the terminals of a contactor.
func (k *Contactor) Terminals() []Terminal {
	return append(required("a", "b", "coil_pos", "coil_neg"), k.Auxiliary.terminals()...)
}

// terminals of an auxiliary contact, which may stay unused; none where there is none.
func (a *Auxiliary) terminals() []Terminal {
	if a == nil {
		return nil
	}
	return optional("aux_a", "aux_b")
}

// Terminals lists the terminals of a timer.
func (*Timer) Terminals() []Terminal { return required("pos", "neg", "common", "no") }

// Terminals lists the terminals of a relay by its form; of a changeover relay
// one throw may stay free.
func (r *Relay) Terminals() []Terminal {
	t := append(required("coil_pos", "coil_neg", "common"), r.Auxiliary.terminals()...)
	switch r.Form {
	case "nc":
		return append(t, required("nc")...)
	case "changeover":
		return append(t, optional("no", "nc")...)
	}
	return append(t, required("no")...)
}

// Terminals lists the terminals of a resistor.
func (*Resistor) Terminals() []Terminal { return required("a", "b") }

// Terminals lists the terminals of a shunt.
func (*Shunt) Terminals() []Terminal {
	return append(required("a", "b"), optional("sense_a", "sense_b")...)
}

// Terminals lists the terminals of a meter: a voltmeter needs its supply
// terminals, a meter on a shunt its sense terminals.
func (m *Meter) Terminals() []Terminal {
	if m.Shows == "voltage" {
		return append(required("pos", "neg"), optional("sense_a", "sense_b")...)
	}
	return append(optional("pos", "neg"), required("sense_a", "sense_b")...)
}

// Terminals lists the terminals of a switch, two for each pole; a pole may
// stay unused.
func (s *Switch) Terminals() []Terminal {
	var t []Terminal
	for _, p := range slices.Sorted(maps.Keys(s.Poles)) {
		t = append(t, optional(p+"_a", p+"_b")...)
	}
	return t
}

// Terminals lists the terminals of a converter.
func (*Converter) Terminals() []Terminal {
	return append(required("in_pos", "in_neg", "out_pos", "out_neg"), optional("enable")...)
}

// Terminals lists the terminals of a charger.
func (*Charger) Terminals() []Terminal { return required("pos", "neg") }

// Terminals lists the terminals of a solar part, which are those of its regulator's
// output.
func (*Solar) Terminals() []Terminal { return required("pos", "neg") }

// Terminals lists the terminals of a controller.
func (c *Controller) Terminals() []Terminal {
	t := append(required("pos", "neg"), optional("enable")...)
	if c.CoilOut != nil {
		t = append(t, optional("coil_out")...)
	}
	if c.HasPhases() {
		t = append(t, optional("u", "v", "w")...)
	}
	return t
}

// HasPhases reports whether the controller states a phase current, and with it the
// terminals of its motor.
func (c *Controller) HasPhases() bool { return c.PhaseContinuousA.Known || c.PhasePeakA.Known }

// Terminals lists the terminals of a motor: three phases, or two brushes.
func (m *Motor) Terminals() []Terminal {
	if m.MotorKind == "brushed" {
		return required("u", "v")
	}
	return required("u", "v", "w")
}

// Terminals lists the terminals of a load.
func (*Load) Terminals() []Terminal { return required("pos", "neg") }

// Terminals lists the terminals of a diode.
func (*Diode) Terminals() []Terminal { return required("anode", "cathode") }

// Sorted yields the entries of a map in the order of their keys.
func Sorted[V any](m map[string]V) iter.Seq2[string, V] {
	return func(yield func(string, V) bool) {
		var few [24]string // no room of its own for as many as most maps have
		keys := few[:0]
		if len(m) > len(few) {
			keys = make([]string, 0, len(m))
		}
		for k := range m {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			if !yield(k, m[k]) {
				return
			}
		}
	}
}

// kind is one of the spec's maps of parts.
type kind struct {
	name  string
	parts func(*Spec) iter.Seq2[string, Part] // by id
	find  func(*Spec, string) (Part, bool)
}

func partsOf[P Part](name string, m func(*Spec) map[string]P) kind {
	return kind{
		name: name,
		parts: func(s *Spec) iter.Seq2[string, Part] {
			return func(yield func(string, Part) bool) {
				for id, p := range Sorted(m(s)) {
					if !yield(id, p) {
						return
					}
				}
			}
		},
		find: func(s *Spec, id string) (Part, bool) {
			p, ok := m(s)[id]
			return p, ok
		},
	}
}

// kinds lists the maps of parts in the order of the current's path.
var kinds = []kind{
	partsOf("batteries", func(s *Spec) map[string]*Battery { return s.Batteries }),
	partsOf("fuses", func(s *Spec) map[string]*Fuse { return s.Fuses }),
	partsOf("breakers", func(s *Spec) map[string]*Breaker { return s.Breakers }),
	partsOf("disconnects", func(s *Spec) map[string]*Disconnect { return s.Disconnects }),
	partsOf("contactors", func(s *Spec) map[string]*Contactor { return s.Contactors }),
	partsOf("relays", func(s *Spec) map[string]*Relay { return s.Relays }),
	partsOf("timers", func(s *Spec) map[string]*Timer { return s.Timers }),
	partsOf("cutouts", func(s *Spec) map[string]*Cutout { return s.Cutouts }),
	partsOf("resistors", func(s *Spec) map[string]*Resistor { return s.Resistors }),
	partsOf("shunts", func(s *Spec) map[string]*Shunt { return s.Shunts }),
	partsOf("meters", func(s *Spec) map[string]*Meter { return s.Meters }),
	partsOf("switches", func(s *Spec) map[string]*Switch { return s.Switches }),
	partsOf("converters", func(s *Spec) map[string]*Converter { return s.Converters }),
	partsOf("chargers", func(s *Spec) map[string]*Charger { return s.Chargers }),
	partsOf("solar", func(s *Spec) map[string]*Solar { return s.Solar }),
	partsOf("connectors", func(s *Spec) map[string]*Connector { return s.Connectors }),
	partsOf("controllers", func(s *Spec) map[string]*Controller { return s.Controllers }),
	partsOf("motors", func(s *Spec) map[string]*Motor { return s.Motors }),
	partsOf("loads", func(s *Spec) map[string]*Load { return s.Loads }),
	partsOf("diodes", func(s *Spec) map[string]*Diode { return s.Diodes }),
	partsOf("studs", func(s *Spec) map[string]*Stud { return s.Studs }),
	partsOf("blocks", func(s *Spec) map[string]*Block { return s.Blocks }),
}

// partKinds lists the names of the maps of parts.
func partKinds() []string {
	var names []string
	for _, k := range kinds {
		names = append(names, k.name)
	}
	return names
}

// Parts yields every part by kind and then by id.
func (s *Spec) Parts() iter.Seq2[string, Part] {
	return func(yield func(string, Part) bool) {
		for _, k := range kinds {
			for id, p := range k.parts(s) {
				if !yield(id, p) {
					return
				}
			}
		}
	}
}

// Part returns the part of an id, or nil.
func (s *Spec) Part(id string) Part {
	for _, k := range kinds {
		if p, ok := k.find(s, id); ok {
			return p
		}
	}
	return nil
}

// Conductor returns the wire or bus bar of an id, or nil.
func (s *Spec) Conductor(id string) *Conductor {
	if w, ok := s.Wires[id]; ok {
		return &w.Conductor
	}
	if b, ok := s.Busbars[id]; ok {
		return &b.Conductor
	}
	return nil
}

// Conductors yields every wire and bus bar by id, wires first.
func (s *Spec) Conductors() iter.Seq2[string, *Conductor] {
	return func(yield func(string, *Conductor) bool) {
		for id, w := range Sorted(s.Wires) {
			if !yield(id, &w.Conductor) {
				return
			}
		}
		for id, b := range Sorted(s.Busbars) {
			if !yield(id, &b.Conductor) {
				return
			}
		}
	}
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
