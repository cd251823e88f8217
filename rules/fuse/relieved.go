package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// relieve returns the guards of a vehicle's conductors, and by conductor those
// in which resistors count as protection: where the ampacity of a conductor
// suffices for what they pass around a fuse, the fuse protects it as if they were
// not there (IEC 60364-4-43, 436). While the fuse is intact it shorts them and they
// carry next to nothing, so that the two do not add up.
func relieve(p *rules.Pass) (all map[string][]*circuit.Guard, relieved map[string]*circuit.Guard) {
	all, relieved = map[string][]*circuit.Guard{}, map[string]*circuit.Guard{}
	for id, guards := range p.Circuit.Guards() {
		all[id] = make([]*circuit.Guard, len(guards))
		for i := range guards {
			g := &guards[i]
			all[id][i] = g
			if len(g.Bypass) == 0 || g.BypassA > ampacity(p, id) {
				continue
			}
			if relieved[id] == nil {
				relieved[id] = g
			}
			without := *g
			without.Fuses = g.FusesBut
			all[id][i] = &without
		}
	}
	return all, relieved
}

// ampacity is that of a conductor in A, 0 if it is not known.
func ampacity(p *rules.Pass, id string) float64 {
	rated, err := capacity.Derated(p, p.Subject(id, "").Working, id)
	if err != nil {
		return 0
	}
	return rated.IzA
}

// explainRelief adds what the resistors that count as protection pass to a working.
func (s *supply) explainRelief(c *rules.Check, id string) {
	g, ok := s.relieved[id]
	if !ok {
		return
	}
	v := demand.StringVoltage(c.Working, s.Circuit, g.Source)
	for _, r := range g.Bypass {
		part := s.Spec.Resistors[r]
		ohm := c.Given("R", "resistance of "+r, part.ResistanceOhm, "Ohm", part.Path()+".resistance_Ohm")
		c.Line("I_R", "greatest current through "+r+" around the fuse, below I_z", calc.OhmicCurrent("V_max", v, ohm))
	}
}
