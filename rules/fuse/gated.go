package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// gated adds up what resistors let through to a conductor that no guard of the
// group reaches without one: such a conductor carries V_max/R at the most, from
// its other end nothing.
func (s *supply) gated(group []circuit.Guard, _ string) coordination {
	sum := coordination{applies: true}
	for _, g := range group {
		if g.Gate == "" {
			return coordination{}
		}
		sum.add(coordination{applies: true, devices: []device{{source: g.Source, resistor: g.Gate, amperes: g.GateA}}, totalA: g.GateA})
	}
	return sum
}

// workResistor adds what a resistor lets through to the working.
func (s *supply) workResistor(w *rules.Working, d device) {
	r := s.Spec.Resistors[d.resistor]
	v := demand.StringVoltage(w, s.Circuit, d.source)
	ohm := w.Given("R", "resistance of "+d.resistor, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	w.Calc("I_R", "most that "+d.resistor+" lets through", "V_max / R", rules.Term(v)+" / "+rules.Term(ohm), d.amperes, "A")
}
