package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// gated adds up what resistors pass to a conductor that no guard of the group
// reaches without one: such a conductor carries at most V_max/R, from its other
// end nothing.
func (s *supply) gated(group []*circuit.Guard, _ string) coordination {
	sum := newSum()
	for _, g := range group {
		if len(g.Gates) == 0 {
			return coordination{}
		}
		for _, gate := range g.Gates {
			sum.add(coordination{applies: true, devices: []device{{source: &g.Source, resistor: gate.Resistor, amperes: gate.A}}, totalA: gate.A})
		}
	}
	return sum.coordination
}

// explainResistor adds what a resistor passes to the working.
func (s *supply) explainResistor(w *rules.Working, d device) {
	demand.ThroughResistor(w, s.Circuit, *d.source, s.Spec.Resistors[d.resistor], "I_R", "greatest current through "+d.resistor)
}
