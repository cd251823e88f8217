package circuit

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// readMode turns the mode's lists into the edges that it closes and the loads
// that it turns on.
func (s *solver) readMode() {
	closeAll := func(id string) {
		for _, e := range s.EdgesOf(id) {
			if e.Kind == SwitchEdge && !strings.HasSuffix(e.ID, ".coil_out") {
				s.wanted[e.ID] = true
			}
		}
		if e := s.byID[id]; e != nil && e.Kind == SwitchEdge {
			s.wanted[id] = true
		}
	}
	if m, ok := s.Spec.Modes[s.c.Mode]; ok {
		for _, id := range m.Closed {
			closeAll(id)
		}
		if !s.c.NoLoads {
			for _, id := range m.On {
				s.on[id] = true
			}
		}
	}
}

// forcedOff reports whether the case takes a converter out: the house stands
// alone, and there is an auxiliary battery to stand on.
func (s *solver) forcedOff(id string) bool {
	return s.c.House == Alone && s.HasAuxiliary(id)
}

// HasAuxiliary reports whether a converter's output network has an auxiliary battery.
func (n *Network) HasAuxiliary(converter string) bool {
	out := n.byID[converter+".out"]
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		if b.Role == "auxiliary" && n.SameNetwork(out.From, n.byID[id].From) {
			return true
		}
	}
	return false
}

// alternating lists what changes within a cycle of states.
func alternating(cycle []map[string]bool) []string {
	var ids []string
	for id := range schema.Sorted(cycle[0]) {
		if slices.ContainsFunc(cycle, func(m map[string]bool) bool { return m[id] != cycle[0][id] }) {
			ids = append(ids, id)
		}
	}
	return ids
}

// moveContacts lets coils and converters answer the voltages that they see,
// and reports whether any changed its state.
func (s *solver) moveContacts() bool {
	moved := false
	change := func(m map[string]bool, id string, to bool) {
		if m[id] != to {
			m[id] = to
			moved = true
		}
	}
	for id := range schema.Sorted(s.operated) {
		if s.forced(id, s.c.Waiting) {
			continue
		}
		release, operate := s.thresholds(id, s.c.Coil)
		switch v := math.Abs(s.voltage(s.byID[id+".coil"])); {
		case v >= operate:
			change(s.operated, id, true)
		case v < release:
			change(s.operated, id, false)
		}
	}
	for id, c := range schema.Sorted(s.Spec.Converters) {
		v := s.voltage(s.byID[id+".in"])
		stop := c.Input.StopV.Or(c.Input.MinV)
		start := max(stop, c.Input.StartV.Or(c.Input.MinV))
		switch {
		case s.forcedOff(id) || v < stop || !s.enabled(id):
			change(s.running, id, false)
		case v >= start:
			change(s.running, id, true)
		}
	}
	return moved
}

// enabled reports whether a converter's enable input, if it is used, is held
// up: more than 3 V above the negative of the side that it is wired to, which is
// above the threshold of any logic input (common practice).
func (s *solver) enabled(id string) bool {
	if !s.Connected(id + ".enable") {
		return true
	}
	enable, _ := s.Node(id + ".enable")
	for _, side := range []string{".in", ".out"} {
		e := s.byID[id+side]
		if s.together.find(int(enable)) == s.together.find(int(e.To)) {
			return s.v[enable]-s.v[e.To] > 3
		}
	}
	return false
}
