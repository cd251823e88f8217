package circuit

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// order is what the case has of an element, whatever the state.
type order byte

const (
	notAsked   order = iota
	asked            // the mode closes it or turns it on
	keptClosed       // against the mode
	keptOpen
	keptIdle // a load or controller that draws nothing
)

// ordersOf returns what a mode asks of the elements: which switches it closes and which
// loads it turns on.
func (n *Network) ordersOf(mode string, noLoads bool) []order {
	return n.ordered.get(modeLoads{mode, noLoads}, func() []order {
		p := n.plan()
		orders := make([]order, len(p.elements))
		for id := range n.Spec.Cutouts {
			if e := n.byID[id]; e != nil {
				orders[p.place(n, e)] = asked // closed as long as it is cold
			}
		}
		m := n.Mode(mode)
		if m == nil {
			return orders
		}
		for _, id := range m.Closed {
			for _, e := range n.EdgesOf(id) {
				if e.Kind == SwitchEdge && !strings.HasSuffix(e.ID, ".coil_out") {
					orders[p.place(n, e)] = asked
				}
			}
			if e := n.byID[id]; e != nil && e.Kind == SwitchEdge {
				orders[p.place(n, e)] = asked
			}
		}
		for _, e := range n.parted(m) {
			orders[p.place(n, e)] = keptOpen
		}
		if !noLoads {
			for _, id := range m.On {
				if e := n.byID[id]; e != nil && e.Kind == LoadEdge {
					orders[p.place(n, e)] = asked
				}
			}
		}
		return orders
	})
}

type modeLoads struct {
	mode    string
	noLoads bool
}

// readCase finds what the case has of each element and coil.
func (s *solver) readCase() {
	copy(s.orders, s.ordersOf(s.c.Mode, s.c.NoLoads))
	s.keep(s.c.Closed, keptClosed)
	s.keep(s.c.Open, keptOpen)
	for _, id := range splitIDs(s.c.Idle) {
		if e := s.byID[id]; e != nil && (e.Kind == LoadEdge || e.Kind == ControllerEdge) {
			s.orders[s.place(e)] = keptIdle
		}
	}
	clear(s.waiting)
	for _, id := range splitIDs(s.c.Waiting) {
		if i, ok := s.coilOf[id]; ok {
			s.waiting[i] = true
		}
	}
}

// keep gives an order to the switches, contacts, plugs and fuses in a list of ids.
func (s *solver) keep(list string, o order) {
	for _, id := range splitIDs(list) {
		if e := s.byID[id]; e != nil && (e.Kind == SwitchEdge || e.Kind == ContactEdge || e.Kind == FuseEdge || e.Kind == PlugEdge) {
			s.orders[s.place(e)] = o
		}
	}
}

// forcedOff reports whether the case takes a converter out: the house stands
// alone, and there is an auxiliary battery to stand on.
func (s *solver) forcedOff(c *converterMover) bool {
	return s.c.House == Alone && c.auxiliary
}

// hasAuxiliary reports whether a converter's output network has an auxiliary battery.
func (n *Network) hasAuxiliary(converter string) bool {
	out := n.byID[converter+".out"]
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		if b.Role == "auxiliary" && n.SameNetwork(out.From, n.byID[id].From) {
			return true
		}
	}
	return false
}

// stateKey writes down which coils have operated and which converters run, a
// byte for each mover.
func (s *solver) stateKey() string {
	s.key = s.key[:0]
	for _, on := range s.operated {
		s.key = append(s.key, digit(on))
	}
	for _, on := range s.running {
		s.key = append(s.key, digit(on))
	}
	return string(s.key)
}

// resume takes up a state that stateKey wrote down.
func (s *solver) resume(key string) {
	for i := range s.operated {
		s.operated[i] = key[i] == digit(true)
	}
	for i := range s.running {
		s.running[i] = key[len(s.operated)+i] == digit(true)
	}
}

func digit(on bool) byte {
	if on {
		return '1'
	}
	return '0'
}

// alternating lists what changes within a cycle of states.
func (p *plan) alternating(cycle []string) []string {
	var ids []string
	for _, i := range p.movers {
		if slices.ContainsFunc(cycle, func(key string) bool { return key[i] != cycle[0][i] }) {
			ids = append(ids, p.moverID(i))
		}
	}
	return ids
}

// moveContacts lets coils and converters answer the voltages that they see,
// and reports whether any changed its state.
func (s *solver) moveContacts() bool {
	moved := false
	for i := range s.coils {
		if s.coilMargin(i) < 0 {
			s.operated[i], moved = !s.operated[i], true
		}
	}
	for i := range s.converters {
		if s.converterMargin(i) < 0 {
			s.running[i], moved = !s.running[i], true
		}
	}
	return moved
}

// margin is coilMargin or converterMargin, by mover.
func (s *solver) margin(i int) float64 {
	if i < len(s.coils) {
		return s.coilMargin(i)
	}
	return s.converterMargin(i - len(s.coils))
}

// coilMargin is how far a coil's voltage is from changing the state of its
// contact, in V; negative if it does.
func (s *solver) coilMargin(i int) float64 {
	if s.waiting[i] || s.waits != nil && s.waits[i] {
		return math.Inf(1)
	}
	v := math.Abs(s.voltage(s.coils[i].coil))
	if s.operated[i] {
		return v - s.coilsAt[i].release
	}
	return under(s.coilsAt[i].operate, v)
}

// converterMargin is the same for a converter's input and enable terminal.
func (s *solver) converterMargin(i int) float64 {
	c := &s.converters[i]
	v, enable := s.voltage(c.in), s.enableV(c)
	switch {
	case s.forcedOff(c) && s.running[i]:
		return math.Inf(-1)
	case s.forcedOff(c):
		return math.Inf(1)
	case s.running[i]:
		return min(v-c.stop, enable-enableThresholdV)
	}
	return max(under(c.start, v), enableThresholdV-enable)
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
func (s *solver) enableV(c *converterMover) float64 {
	if c.enable == nowhere {
		return math.Inf(1)
	}
	for _, side := range []*Edge{c.in, c.out} {
		if s.together[c.enable] == s.together[side.To] {
			return s.v[c.enable] - s.v[side.To]
		}
	}
	return math.Inf(-1)
}

// coilState is a coil at one of the temperatures at which coils are taken: its
// law before and after it has operated, and the voltages between which it keeps
// its state.
type coilState struct {
	idle, held       law
	release, operate float64
}

func (c *coilState) law(operated bool) law {
	if operated {
		return c.held
	}
	return c.idle
}

// coilStates returns all coils at a temperature.
func (n *Network) coilStates(at Coil) []coilState {
	return n.coiled.get(at, func() []coilState {
		coils := n.plan().coils
		out := make([]coilState, len(coils))
		for i, k := range coils {
			c := &out[i]
			c.idle, c.held = n.coilLaws(k.id, at)
			c.release, c.operate = n.thresholds(k.id, at)
		}
		return out
	})
}

// coilLaws are a coil's: copper at its temperature, or an economiser that takes
// its pick-up current until it has operated and its hold current after.
func (n *Network) coilLaws(id string, at Coil) (idle, held law) {
	_, c := n.coil(id)
	if c.Drive == "economiser" && c.HoldA.Known {
		return ohms(c.NominalV / c.PickupA.Or(c.HoldA.Value)), law{form: current, amperes: c.HoldA.Value, knee: 0.3 * c.NominalV}
	}
	idle = law{form: resistor, g: softness}
	if c.ResistanceOhm.Known {
		temperature := 20.0
		if at != CoilAt20 {
			temperature = n.CoilTemperature(id, at).C
		}
		idle = ohms(c.ResistanceOhm.Value * calc.CopperFactor(temperature))
	}
	return idle, idle
}
