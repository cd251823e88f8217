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
				s.on[id] = !s.forced(id, s.c.Idle)
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
	for id := range schema.Sorted(s.operated) {
		if s.coilMargin(id) < 0 {
			s.operated[id], moved = !s.operated[id], true
		}
	}
	for id := range schema.Sorted(s.running) {
		if s.converterMargin(id) < 0 {
			s.running[id], moved = !s.running[id], true
		}
	}
	return moved
}

// coilMargin is how far a coil's voltage is from changing the state of its
// contact, in V; negative if it does.
func (s *solver) coilMargin(id string) float64 {
	if s.forced(id, s.c.Waiting) || s.waits[id] {
		return math.Inf(1)
	}
	release, operate := s.thresholds(id, s.c.Coil)
	v := math.Abs(s.voltage(s.byID[id+".coil"]))
	if s.operated[id] {
		return v - release
	}
	return under(operate, v)
}

// converterMargin is the same for a converter's input and enable terminal.
func (s *solver) converterMargin(id string) float64 {
	input := &s.Spec.Converters[id].Input
	stop := input.StopV.Or(input.MinV)
	start := max(stop, input.StartV.Or(input.MinV))
	v, enable := s.voltage(s.byID[id+".in"]), s.enableV(id)
	switch {
	case s.forcedOff(id) && s.running[id]:
		return math.Inf(-1)
	case s.forcedOff(id):
		return math.Inf(1)
	case s.running[id]:
		return min(v-stop, enable-enableThresholdV)
	}
	return max(under(start, v), enableThresholdV-enable)
}

// under is how far a voltage is below a threshold, negative as soon as it is there.
func under(threshold, v float64) float64 {
	if v >= threshold {
		return min(threshold-v, -math.SmallestNonzeroFloat64)
	}
	return threshold - v
}

// enableThresholdV is what an enable input must exceed to be held up: more than
// the threshold of any logic input (common practice).
const enableThresholdV = 3

// enableV is the voltage of a converter's enable input above the negative of the
// side that it is wired to; +Inf if it is not used.
func (s *solver) enableV(id string) float64 {
	if !s.Connected(id + ".enable") {
		return math.Inf(1)
	}
	enable, _ := s.Node(id + ".enable")
	for _, side := range []string{".in", ".out"} {
		e := s.byID[id+side]
		if s.together.find(int(enable)) == s.together.find(int(e.To)) {
			return s.v[enable] - s.v[e.To]
		}
	}
	return math.Inf(-1)
}
