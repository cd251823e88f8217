package circuit

import (
	"maps"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// Ids of the modes that every vehicle implies, whatever its list says. They hold
// spaces, so that no declared mode has one of them.
const (
	EverythingOn       = "everything on"
	EverythingCharging = "everything on and charging"
)

// Modes lists the ids of the declared modes in order. Callers leave the list as it is.
func (n *Network) Modes() []string { return n.modes() }

// States lists the declared modes and after them those that the vehicle implies: what
// a list of modes leaves out is possible all the same. Whatever holds a part against
// what may happen to it goes through these; what rests on how long something goes on
// goes through Modes. Callers leave the list as it is.
func (n *Network) States() []string { return n.states() }

// Mode is a declared or an implied mode; nil for any other id.
func (n *Network) Mode(id string) *schema.Mode {
	if m, ok := n.Spec.Modes[id]; ok {
		return m
	}
	return n.implied()[id]
}

// Implied reports whether a mode is one that no list of modes holds.
func Implied(m *schema.Mode) bool { return m.ID == EverythingOn || m.ID == EverythingCharging }

func (n *Network) findStates() []string {
	return slices.Concat(n.modes(), slices.Sorted(maps.Keys(n.implied())))
}

// findImplied finds the modes that a vehicle implies: all closed by hand that can be,
// with all consumers on that may stay on, and controllers driving; and the same with
// the chargers connected in the place of the drive, for interlocks keep these apart.
// A vehicle without any mode has none: that is a finding of its own.
func (n *Network) findImplied() map[string]*schema.Mode {
	spec := n.Spec
	out := map[string]*schema.Mode{}
	if len(spec.Modes) == 0 {
		return out
	}
	on := &schema.Mode{ID: EverythingOn, Closed: allClosable(spec), Draw: map[string]*schema.Draw{}}
	for id, l := range schema.Sorted(spec.Loads) {
		if !l.Spare && !bounded(spec, func(m *schema.Mode) bool { return slices.Contains(m.On, id) }) {
			on.On = append(on.On, id)
		}
	}
	for id, k := range schema.Sorted(spec.Controllers) {
		if d := lastingDraw(spec, k); d != nil && !k.Spare {
			on.Draw[id] = d
		}
	}
	out[on.ID] = on
	charging := &schema.Mode{ID: EverythingCharging, Closed: on.Closed, On: on.On}
	for id, c := range schema.Sorted(spec.Chargers) {
		if !c.Spare && !inOwnAir(spec, id) {
			charging.Connected = append(charging.Connected, id)
		}
	}
	if len(charging.Connected) > 0 {
		out[charging.ID] = charging
	}
	return out
}

// inOwnAir reports whether the declared modes connect a charger in an air of their own
// only, such as that of a warm shed.
func inOwnAir(spec *schema.Spec, charger string) bool {
	own := false
	for _, m := range spec.Modes {
		if slices.Contains(m.Connected, charger) {
			if !m.AmbientC.Known {
				return false
			}
			own = true
		}
	}
	return own
}

// allClosable lists what a hand or a controller can close and leave closed: not a button
// that the declared modes press for a time.
func allClosable(spec *schema.Spec) (ids []string) {
	for id, d := range schema.Sorted(spec.Disconnects) {
		if !d.Spare {
			ids = append(ids, id)
		}
	}
	for id, b := range schema.Sorted(spec.Breakers) {
		if !b.Spare {
			ids = append(ids, id)
		}
	}
	for id, s := range schema.Sorted(spec.Switches) {
		held := s.Role == "key" || s.Role == "emergency-stop"
		if !s.Spare && (held || !bounded(spec, func(m *schema.Mode) bool { return closes(m, id) })) {
			ids = append(ids, id)
		}
	}
	for id, k := range schema.Sorted(spec.Controllers) {
		if !k.Spare && k.CoilOut != nil {
			ids = append(ids, id+".coil_out")
		}
	}
	return ids
}

// bounded reports whether the declared modes say for how long, or in which air,
// something goes on: each that has it has a duration or an air temperature of its own.
// It is judged in these then. Steps of the cycle do not count: what is on in one of them
// may stay on.
func bounded(spec *schema.Spec, has func(*schema.Mode) bool) bool {
	bound := false
	for _, m := range spec.Modes {
		switch {
		case !has(m):
		case m.LastsS.Known, m.AmbientC.Known:
			bound = true
		default:
			return false
		}
	}
	return bound
}

// closes reports whether a mode closes a switch or a pole of it.
func closes(m *schema.Mode, id string) bool {
	return slices.ContainsFunc(m.Closed, func(closed string) bool { return closed == id || strings.HasPrefix(closed, id+".") })
}

func inCycle(spec *schema.Spec, m *schema.Mode) bool {
	return slices.ContainsFunc(spec.Cycle, func(s schema.CycleStep) bool { return s.Mode == m.ID })
}

// lastingDraw is what a controller may draw for hours: the most of what the declared
// modes without an end say; where none draws at all, its continuous limit. It is nil
// where they draw for a time or in some weather only, or nothing says how much.
func lastingDraw(spec *schema.Spec, k *schema.Controller) (most *schema.Draw) {
	amperes := func(d *schema.Draw) float64 { return max(d.CurrentA.Or(0), d.PowerW.Or(0)/k.MinV) }
	drawn := false
	for _, m := range schema.Sorted(spec.Modes) {
		d := m.Draw[k.ID]
		if d == nil || amperes(d) == 0 {
			continue
		}
		drawn = true
		if !m.LastsS.Known && !m.AmbientC.Known && !inCycle(spec, m) && (most == nil || amperes(d) > amperes(most)) {
			most = d
		}
	}
	if !drawn && k.BatteryContinuousA.Known {
		return &schema.Draw{CurrentA: k.BatteryContinuousA}
	}
	return most
}
