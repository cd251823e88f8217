package circuit

import (
	"slices"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// prepare sets the law of every edge for the present contact state.
func (s *solver) prepare() {
	if s.laws == nil {
		s.laws = make([]law, len(s.Edges))
	}
	for k, e := range s.Edges {
		s.laws[k] = s.law(e)
	}
}

// law is the law of one edge in the case and the present contact state.
func (s *solver) law(e *Edge) law {
	if s.out[e.Part] || s.out[e.ID] {
		return law{}
	}
	switch e.Kind {
	case WireEdge, BusbarEdge:
		return ohms(s.ConductorResistance(e.ID, s.c.copper()))
	case FuseEdge:
		if s.forced(e.ID, s.c.Open) {
			return law{}
		}
		return ohms(s.FuseResistance(s.Spec.Fuses[e.Part]))
	case SwitchEdge, ContactEdge:
		if !s.isClosed(e) {
			return law{}
		}
		return ohms(s.closedOhm[e.index])
	case ShuntEdge:
		shunt := s.Spec.Shunts[e.Part]
		return ohms(shunt.DropMV / 1000 / shunt.RatedA)
	case ResistorEdge:
		if r, ok := s.Spec.Resistors[e.Part]; ok {
			return ohms(r.ResistanceOhm)
		}
		return ohms(1000 * s.Spec.Controllers[e.Part].BleedKOhm.Value)
	case DiodeEdge:
		d := s.Spec.Diodes[e.Part]
		return newJunction(d.ForwardV.Or(s.Spec.Policy.DiodeForwardV), d.ForwardAtA.Or(d.ContinuousA.Or(1)))
	case CoilEdge:
		return s.coilLaw(e.Part)
	case LoadEdge:
		if !s.on[e.Part] {
			return law{}
		}
		return loadLaw(s.Spec.Loads[e.Part])
	case MeterEdge:
		return s.meterLaw(e)
	case EnableEdge:
		return s.enableLaw(e)
	case BatteryEdge:
		return s.batteryLaw(e.Part)
	case ConverterInput:
		return s.converterInputLaw(e.Part)
	case ConverterOutput:
		return s.converterOutputLaw(e.Part)
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

// forced reports whether a space-separated list names the id.
func (s *solver) forced(id, list string) bool {
	return list != "" && slices.Contains(splitIDs(list), id)
}

// isClosed reports whether a switch or contact is closed.
func (s *solver) isClosed(e *Edge) bool {
	switch {
	case s.forced(e.ID, s.c.Open):
		return false
	case s.forced(e.ID, s.c.Closed):
		return true
	case e.Kind == SwitchEdge:
		return s.c.AllClosed || s.wanted[e.ID]
	case e.ID == e.Part+".nc":
		return !s.operated[e.Part] && !s.c.AllClosed
	}
	return s.c.AllClosed || s.operated[e.Part]
}

// coilLaw is a coil's: copper at its temperature, or an economiser that takes
// its pick-up current until it has operated and its hold current after.
func (s *solver) coilLaw(id string) law {
	_, c := s.coil(id)
	if c.Drive == "economiser" && c.HoldA.Known {
		if s.operated[id] {
			return law{form: current, amperes: c.HoldA.Value, knee: 0.3 * c.NominalV}
		}
		return ohms(c.NominalV / c.PickupA.Or(c.HoldA.Value))
	}
	if !c.ResistanceOhm.Known {
		return law{form: resistor, g: softness}
	}
	temperature := 20.0
	if s.c.Coil != CoilAt20 {
		temperature = s.CoilTemperature(id, s.c.Coil).C
	}
	return ohms(c.ResistanceOhm.Value * calc.CopperFactor(temperature))
}

// kneeFraction is the share of its rated voltage below which a consumer that
// regulates its own current no longer does, where the spec does not say.
const kneeFraction = 0.5

func loadLaw(l *schema.Load) law {
	knee := l.MinV.Or(kneeFraction * l.AtV)
	switch l.LoadKind {
	case "led", "electronic":
		return law{form: power, watts: l.PowerW, knee: knee}
	case "motor":
		return law{form: current, amperes: l.PowerW / l.AtV, knee: knee}
	}
	// Filaments, heaters and solenoids; a filament taken as a resistance draws
	// about 5 % too much at 10 % over-voltage.
	return ohms(l.AtV * l.AtV / l.PowerW)
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
	ohm, known := s.BatteryResistance(b, s.c.Resistance)
	if !known {
		ohm = assumedBatteryOhm
	}
	if b.Role != "auxiliary" {
		return law{form: emf, g: 1 / ohm, e: BatteryVoltage(b, s.c.Pack)}
	}
	switch {
	case s.c.NoAuxiliary:
		return law{}
	case s.c.House == Running:
		// At rest beside a converter; it helps out only when the voltage falls
		// below its own.
		return law{form: floating, g: 1 / ohm, e: b.NominalV, amperes: b.FloatA.Or(0)}
	}
	return law{form: emf, g: 1 / ohm, e: BatteryVoltage(b, s.c.Auxiliary)}
}

func (s *solver) converterInputLaw(id string) law {
	c := s.Spec.Converters[id]
	stop := c.Input.StopV.Or(c.Input.MinV)
	if !s.running[id] {
		if !c.Input.OffMA.Known || c.Input.OffMA.Value == 0 {
			return law{}
		}
		return law{form: current, amperes: c.Input.OffMA.Value / 1000, knee: 3}
	}
	return law{form: power, watts: 0, knee: stop}
}

func (s *solver) converterOutputLaw(id string) law {
	if !s.running[id] {
		return law{}
	}
	c := s.Spec.Converters[id]
	limit, _ := s.ConverterLimitA(id)
	return law{form: limited, e: c.Output.NominalV, amperes: limit, g: 1000 / s.Spec.Policy.ConverterOutputMOhm}
}

func (s *solver) controllerLaw(id string) law {
	if !s.draws(id) || s.onPrechargeOnly(id) {
		return law{}
	}
	c := s.Spec.Controllers[id]
	switch d := s.Spec.Modes[s.c.Mode].Draw[id]; {
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
	m := s.Spec.Modes[s.c.Mode]
	return m != nil && !s.c.NoDraw && m.Draw[id] != nil && !s.forced(id, s.c.Idle)
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
	reached := make([]bool, s.Nodes())
	reached[v] = true
	for queue := []Node{v}; len(queue) > 0; queue = queue[1:] {
		for _, e := range s.at[queue[0]] {
			switch e.Kind {
			case BatteryEdge:
				return true
			case ConverterOutput:
				if s.running[e.Part] {
					return true
				}
				continue
			case ChargerEdge:
				if m := s.Spec.Modes[s.c.Mode]; m != nil && !s.c.NoChargers && slices.Contains(m.Connected, e.Part) {
					return true
				}
				continue
			case SwitchEdge, ContactEdge:
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
			if next := e.Other(queue[0]); !reached[next] {
				reached[next] = true
				queue = append(queue, next)
			}
		}
	}
	return false
}

func (s *solver) chargerLaw(id string) law {
	m := s.Spec.Modes[s.c.Mode]
	if m == nil || s.c.NoChargers || !slices.Contains(m.Connected, id) {
		return law{}
	}
	c := s.Spec.Chargers[id]
	return law{form: limited, e: c.MaxV, amperes: c.MaxA, g: 1000 / s.Spec.Policy.ConverterOutputMOhm}
}
