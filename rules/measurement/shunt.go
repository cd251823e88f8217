package measurement

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// shunt is a shunt that is wired into a circuit.
type shunt struct {
	*schema.Shunt
	edge *circuit.Edge
}

// set is the shunt as something through which a current flows.
func (s shunt) set() demand.Element { return demand.Element{s.edge} }

// field is the path of a field of the shunt.
func (s shunt) field(name string) string { return s.Path() + "." + name }

// shunts lists the shunts that are wired, by id.
func shunts(p *rules.Pass) []shunt {
	var out []shunt
	for id, s := range schema.Sorted(p.Spec.Shunts) {
		if !s.Spare && p.Circuit.Connected(id+".a") && p.Circuit.Connected(id+".b") {
			out = append(out, shunt{s, p.Circuit.Edge(id)})
		}
	}
	return out
}

// checkShunts starts the result on every shunt whose circuit is sound, and
// leaves the verdict to check.
func checkShunts(check func(*rules.Check, *rules.Pass, shunt)) func(*rules.Pass) {
	return func(p *rules.Pass) {
		for _, s := range shunts(p) {
			c := p.Subject(s.ID, s.Path())
			if !s.set().Unsound(p, c) {
				check(c, p, s)
			}
		}
	}
}

// currents lists the greatest current of the shunt in each mode. It reports the
// check as not made, and false, where they are not known.
func (s shunt) currents(c *rules.Check, p *rules.Pass) ([]demand.Use, bool) {
	return demand.For(p).Known(c, s.ID, s.set())
}

// side is the side of a shunt that a string of batteries is on, and with which of
// its poles.
type side struct {
	of       circuit.SeriesString
	b        bool // on the side of terminal b, and not of a
	positive bool
}

// batterySide finds the side of the shunt that the battery is on: the one that it
// measures, else the first that metal, everything closed, connects to one side
// alone. It is false where metal around the shunt connects both.
func (s shunt) batterySide(p *rules.Pass) (side, bool) {
	var found side
	var ok bool
	for _, of := range p.Circuit.Strings() {
		if ok && !of.Has(s.Measures) {
			continue
		}
		for _, end := range []struct {
			node     circuit.Node
			positive bool
		}{{of.Pos(), true}, {of.Neg(), false}} {
			r := s.reach(p, end.node)
			if r[s.edge.From] != r[s.edge.To] {
				found, ok = side{of, r[s.edge.To], end.positive}, true
			}
		}
	}
	return found, ok
}

// reach marks the nodes that metal, everything closed but the shunt, connects to a
// node.
func (s shunt) reach(p *rules.Pass, from circuit.Node) circuit.Nodes {
	return p.Circuit.Reach(circuit.Without(circuit.AllClosed, s.edge), from)
}

// meters lists the wired meters that read a shunt, by id.
func meters(p *rules.Pass) []*schema.Meter {
	var out []*schema.Meter
	for id, m := range schema.Sorted(p.Spec.Meters) {
		if !m.Spare && m.Shows != "voltage" && p.Circuit.Connected(id+".sense_a") && p.Circuit.Connected(id+".sense_b") {
			out = append(out, m)
		}
	}
	return out
}

// shuntOf is the shunt that a meter names; it reports the check as not made, and
// false, where it names none.
func shuntOf(c *rules.Check, p *rules.Pass, m *schema.Meter) (shunt, bool) {
	s, ok := p.Spec.Shunts[m.Shunt]
	if !ok {
		c.NotChecked(m.Path()+".shunt", "%s: the shunt that it reads is not stated", m.ID)
		return shunt{}, false
	}
	return shunt{s, p.Circuit.Edge(s.ID)}, true
}

// fullScaleA is the current in A at which a meter on a shunt is at the end of its
// scale, and adds its steps: by the millivolts where the meter states them, else
// by its figure in amperes. It reports the check as not made, and false, where it
// states neither.
func fullScaleA(c *rules.Check, m *schema.Meter, s shunt) (float64, bool) {
	if m.DropMV.Known {
		mv := c.Given("U_m", "rated drop of "+m.ID+" at full scale", m.DropMV.Value, "mV", m.Path()+".drop_mV")
		c.Given("U_s", "drop of "+s.ID+" at its rating", s.DropMV, "mV", s.field("drop_mV"))
		c.Given("I_s", "rating of "+s.ID, s.RatedA, "A", s.field("rated_A"))
		return c.Calc("I_f", "current at full scale", "I_s U_m / U_s",
			rules.Term(s.RatedA)+" * "+rules.Term(mv)+" / "+rules.Term(s.DropMV), s.RatedA*mv/s.DropMV, "A"), true
	}
	if m.FullScaleA.Known {
		return c.Given("I_f", "full scale of "+m.ID, m.FullScaleA.Value, "A", m.Path()+".full_scale_A"), true
	}
	c.NotChecked(m.Path()+".full_scale_A", "%s: neither its full scale nor its rated drop is stated", m.ID)
	return 0, false
}

func percent(v float64) rules.Quantity { return rules.Quantity{Value: v, Unit: "%"} }
