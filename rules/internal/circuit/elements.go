package circuit

import (
	"slices"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// prepare sets the law of every element for the present contact state.
func (s *solver) prepare() {
	for j := range s.elements {
		s.laws[j] = s.elements[j].fixed
	}
	for _, j := range s.varying {
		s.laws[j] = s.law(j)
	}
	s.sort()
}

// fixedLaw is the law of an element in every case, and always is true; or its
// law where it is closed or on, or none, if the case or the state decides.
func (n *Network) fixedLaw(e *Edge) (l law, always bool) {
	switch e.Kind {
	case FuseEdge:
		return ohms(n.FuseResistance(n.Spec.Fuses[e.Part])), false
	case SwitchEdge, ContactEdge, PlugEdge:
		return ohms(n.closedOhm[e.index]), false
	case ShuntEdge:
		return ohms(n.ShuntResistance(n.Spec.Shunts[e.Part])), true
	case ResistorEdge:
		if r, ok := n.Spec.Resistors[e.Part]; ok {
			return ohms(r.ResistanceOhm), true
		}
		return ohms(1000 * n.Spec.Controllers[e.Part].BleedKOhm.Value), true
	case DiodeEdge:
		d := n.Spec.Diodes[e.Part]
		return newJunction(d.ForwardV.Or(n.Spec.Policy.DiodeForwardV), d.ForwardAtA.Or(d.ContinuousA.Or(1))), true
	case LoadEdge:
		return loadLaw(n.Spec.Loads[e.Part]), false
	}
	return law{}, false
}

// law is the law of a varying element in the case and the present contact state.
func (s *solver) law(j int) law {
	e := &s.elements[j]
	switch e.Kind {
	case FuseEdge:
		if s.orders[j] == keptOpen {
			return law{}
		}
		return e.fixed
	case SwitchEdge, ContactEdge, PlugEdge:
		if !s.isClosed(e.Edge) {
			return law{}
		}
		return e.fixed
	case LoadEdge:
		if s.orders[j] != asked {
			return law{}
		}
		return e.fixed
	case CoilEdge:
		return s.coilsAt[e.mover].law(s.operated[e.mover])
	case MeterEdge:
		return s.meterLaw(e.Edge)
	case EnableEdge:
		return s.enableLaw(e.Edge)
	case BatteryEdge:
		return s.batteryLaw(e.Part)
	case ConverterInput:
		return s.converterInputLaw(e.mover)
	case ConverterOutput:
		return s.converterOutputLaw(e.mover)
	case ControllerEdge:
		return s.controllerLaw(e.Part)
	case ChargerEdge:
		return s.chargerLaw(e.Part)
	}
	return law{}
}

// leastOhm keeps a resistance of nothing from becoming an infinite conductance.
const leastOhm = 1e-6

func ohms(r float64) law { return law{form: resistor, g: 1 / max(r, leastOhm)} }

// isClosed reports whether a switch, contact or plug is closed.
func (s *solver) isClosed(edge *Edge) bool {
	j := s.place(edge)
	e := &s.elements[j]
	switch order := s.orders[j]; {
	case order == keptOpen:
		return false
	case order == keptClosed:
		return true
	case e.Kind == SwitchEdge:
		return s.c.AllClosed || order == asked
	case e.Kind == PlugEdge:
		return true
	}
	return s.isDriven(e)
}

// isDriven reports whether a contact is closed as its coil has it.
func (s *solver) isDriven(e *element) bool {
	if e.breaks {
		return !s.operated[e.mover] && !s.c.AllClosed
	}
	return s.c.AllClosed || s.operated[e.mover]
}

// kneeFraction is the share of its rated voltage below which a consumer that
// regulates its own current no longer does, where the spec does not say.
const kneeFraction = 0.5

func loadLaw(l *schema.Load) law {
	knee := l.MinV.Or(kneeFraction * l.AtV)
	load := calc.Load{Law: calc.LoadKind(l.LoadKind).Law().Linear(), PowerW: l.PowerW, AtV: l.AtV}
	switch load.Law {
	case calc.ConstantPower:
		return law{form: power, watts: l.PowerW, knee: knee}
	case calc.ConstantCurrent:
		return law{form: current, amperes: load.RatedA(), knee: knee}
	}
	return ohms(load.Ohm())
}

// senseOhm is the input resistance of a meter or logic input of which only
// that is known that it takes next to nothing.
const senseOhm = 1e6

func (s *solver) meterLaw(e *Edge) law {
	m := s.Spec.Meters[e.Part]
	if e.ID == e.Part+".supply" && m.SupplyMA.Known && !s.c.NoInputs {
		return law{form: current, amperes: m.SupplyMA.Value / 1000, knee: m.MinV.Or(3)}
	}
	return ohms(senseOhm)
}

func (s *solver) enableLaw(e *Edge) law {
	if c, ok := s.Spec.Controllers[e.Part]; ok && c.EnableMA.Known && !s.c.NoInputs {
		return law{form: current, amperes: c.EnableMA.Value / 1000, knee: 3}
	}
	return ohms(senseOhm)
}

func (s *solver) batteryLaw(id string) law {
	b := s.Spec.Batteries[id]
	ohm, known := s.BatteryResistanceIn(s.c.Mode, b, s.c.Resistance)
	if !known {
		ohm = assumedBatteryOhm
	}
	if b.Role != "auxiliary" {
		return law{form: emf, g: 1 / ohm, e: BatteryVoltage(b, s.c.Pack)}
	}
	switch {
	case s.c.NoAuxiliary:
		return law{}
	case s.c.House == Running && !s.c.Recharge:
		// At rest beside a converter; it helps out only when the voltage falls
		// below its own.
		return law{form: floating, g: 1 / ohm, e: b.NominalV, amperes: b.FloatA.Or(0)}
	}
	return law{form: emf, g: 1 / ohm, e: BatteryVoltage(b, s.c.Auxiliary)}
}

func (s *solver) converterInputLaw(i int) law {
	if !s.running[i] {
		c := s.Spec.Converters[s.converters[i].id]
		if !c.Input.OffMA.Known || c.Input.OffMA.Value == 0 {
			return law{}
		}
		return law{form: current, amperes: c.Input.OffMA.Value / 1000, knee: 3}
	}
	return law{form: power, knee: s.converters[i].stop}
}

func (s *solver) converterOutputLaw(i int) law {
	if !s.running[i] {
		return law{}
	}
	c := &s.converters[i]
	return law{form: limited, e: s.Spec.Converters[c.id].Output.NominalV, amperes: c.limitA, g: 1000 / s.Spec.Policy.ConverterOutputMOhm}
}

func (s *solver) controllerLaw(id string) law {
	if !s.draws(id) || s.onPrechargeOnly(id) {
		return law{}
	}
	c := s.Spec.Controllers[id]
	switch d := s.mode.Draw[id]; {
	case d.CurrentA.Known:
		return law{form: current, amperes: d.CurrentA.Value, knee: c.MinV}
	case d.PowerW.Known:
		return law{form: power, watts: d.PowerW.Value, knee: c.MinV, cap: c.BatteryPeakA.Or(0)}
	case d.RegenA.Known:
		// A controller that brakes feeds its current back up to its own limit of
		// voltage, and within the next percent gives up: nothing may be there to
		// take the current.
		return law{form: limited, amperes: d.RegenA.Value, e: 1.01 * c.MaxV, g: 100 * d.RegenA.Value / c.MaxV, region: limiting}
	}
	return law{}
}

// draws reports whether the case lets a controller draw, or feed back.
func (s *solver) draws(id string) bool {
	return s.mode != nil && !s.c.NoDraw && s.mode.Draw[id] != nil && s.orders[s.place(s.byID[id])] != keptIdle
}

// onPrechargeOnly reports whether nothing but a pre-charge resistor feeds a
// controller in the present contact state. It waits for its contactor then, and
// drives nothing through the resistor.
func (s *solver) onPrechargeOnly(id string) bool {
	e := s.byID[id]
	if s.feedsPole(e.From, false) && s.feedsPole(e.To, false) {
		return false // as always but for a moment
	}
	return s.feedsPole(e.From, true) && s.feedsPole(e.To, true)
}

// feedsPole reports whether a source stands on the metal, diodes and resistors
// that lead to a node, those of a pre-charge among them or not.
func (s *solver) feedsPole(v Node, precharge bool) bool {
	reached := s.marks
	clear(reached)
	reached[v] = true
	s.queue = append(s.queue[:0], v)
	for at := 0; at < len(s.queue); at++ {
		for _, e := range s.at[s.queue[at]] {
			switch e.Kind {
			case BatteryEdge:
				return true
			case ConverterOutput:
				if s.running[s.elements[s.place(e)].mover] {
					return true
				}
				continue
			case ChargerEdge:
				if s.charges(e.Part) {
					return true
				}
				continue
			case SwitchEdge, ContactEdge, PlugEdge:
				if !s.isClosed(e) {
					continue
				}
			case DiodeEdge:
			case ResistorEdge:
				if r := s.Spec.Resistors[e.Part]; r == nil || r.Role == "precharge" && !precharge {
					continue
				}
			default:
				if !e.Conducts() {
					continue
				}
			}
			if next := e.Other(s.queue[at]); !reached[next] {
				reached[next] = true
				s.queue = append(s.queue, next)
			}
		}
	}
	return false
}

// charges reports whether the case connects a charger.
func (s *solver) charges(id string) bool {
	return s.mode != nil && !s.c.NoChargers && slices.Contains(s.mode.Connected, id)
}

func (s *solver) chargerLaw(id string) law {
	if !s.charges(id) {
		return law{}
	}
	l := law{form: limited, g: 1000 / s.Spec.Policy.ConverterOutputMOhm}
	if c, ok := s.Spec.Chargers[id]; ok {
		l.e, l.amperes = c.MaxV, c.MaxA
	} else {
		r := s.Spec.Solar[id].Regulator
		l.e, l.amperes = r.OutputV, r.MaxA
	}
	return l
}
