package measurement

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func meterRangeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "meter-range-low",
		Family: family,
		Title:  "a meter's scale ends below what it must read",
		Why: "The needle is at its stop on the hill, where the driver most wants to know, and bends there; " +
			"an electronic meter shows its end of scale, or nothing.",
		Relation: "the greatest current of the shunt in any mode <= the current at full scale; the highest working voltage <= full_scale_V",
		Source:   "circuit theory; common practice",
		Level:    rules.Warning,
		Required: 1,
		Fix:      "use a meter, and a shunt, of the next range",
		Example: rules.Example{Vehicle: "heron", Subject: "ammeter", Edits: []rules.Edit{
			{Path: "shunts.shunt.rated_A", Value: "100"}, {Path: "meters.ammeter.full_scale_A", Value: "100"}}},
		Check: checkRange,
	}
}

func checkRange(p *rules.Pass) {
	for id, m := range schema.Sorted(p.Spec.Meters) {
		if m.Spare || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") || m.Shows == "current" || m.Shows == "energy" && !m.FullScaleV.Known {
			continue
		}
		subject := id
		if m.Shows == "energy" {
			subject = id + ".pos" // it has a range of current too
		}
		c := p.Subject(subject, m.Path())
		if !p.Unsound(c, id+".pos", id+".neg") {
			checkVoltageRange(c, p, m)
		}
	}
	for _, m := range meters(p) {
		c := p.Subject(m.ID, m.Path())
		s, ok := shuntOf(c, p, m)
		if ok && !s.set().Unsound(p, c) {
			checkCurrentRange(c, p, m, s)
		}
	}
}

func checkCurrentRange(c *rules.Check, p *rules.Pass, m *schema.Meter, s shunt) {
	uses, ok := s.currents(c, p)
	if !ok {
		return
	}
	worst := demand.Greatest(uses)
	i := c.Solved("I", "greatest current of "+s.ID, math.Abs(worst.A), "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	full, ok := fullScaleA(c, m, s)
	if !ok {
		return
	}
	if m.DropMV.Known && m.FullScaleA.Known {
		if deviation, _, err := mismatch(m, s); err == nil && deviation > classPercent {
			c.Because(mismatchID, m.ID)
		}
	}
	c.In(worst.Mode.ID, worst.At.String())
	c.Fix("use a meter and a shunt for at least %s A, with the same millivolts at full scale and at its rating", rules.Figure(rules.RoundUp(i*p.Required(), 1)))
	c.AtMost(rules.Amperes(i), rules.Amperes(full), "%s must read %s A in mode %s, full scale is %s A", m.ID, rules.Figure(i), worst.Mode.ID, rules.Figure(full))
}

func checkVoltageRange(c *rules.Check, p *rules.Pass, m *schema.Meter) {
	if !m.FullScaleV.Known {
		c.NotChecked(m.Path()+".full_scale_V", "%s: its full scale is not stated", m.ID)
		return
	}
	v, found, err := demand.SwitchedV(p, c.Working, demand.Element{p.Circuit.Edge(m.ID + ".supply")})
	switch {
	case !found:
		demand.NoSource(c, m.ID)
		return
	case demand.VoltageUnknown(c, err, v <= m.FullScaleV.Value, "of the circuit of "+m.ID):
		return
	}
	v = acrossPart(c, p, m, v)
	full := c.Given("V_f", "full scale of "+m.ID, m.FullScaleV.Value, "V", m.Path()+".full_scale_V")
	c.Fix("use a meter for at least %s V", rules.Figure(rules.RoundUp(v, 1)))
	c.AtMost(rules.Volts(v), rules.Volts(full), "%s must read %s V, full scale is %s V", m.ID, rules.Figure(v), rules.Figure(full))
}

// acrossPart is a meter's share in V of the voltage of a string, where it is wired across
// some of its batteries alone; else the voltage itself.
func acrossPart(c *rules.Check, p *rules.Pass, m *schema.Meter, v float64) float64 {
	e := p.Circuit.Edge(m.ID + ".supply")
	for _, low := range p.Circuit.Sources() {
		if !low.IsBattery() || !p.Circuit.MetalJoins(e.To, low.Neg) {
			continue
		}
		list, part, begun := p.Circuit.StringOf(low), 0.0, false
		for i, s := range list {
			if begun = begun || s.ID == low.ID; !begun {
				continue
			}
			part += s.MaxV
			whole := i == len(list)-1 && low.ID == list[0].ID
			if p.Circuit.MetalJoins(e.From, s.Pos) && !whole {
				return c.Calc("V_p", fmt.Sprintf("its share, from %s to %s", low.ID, s.ID), "of the voltages of the batteries in series",
					fmt.Sprintf("%s * %s / %s", rules.Term(v), rules.Term(part), rules.Term(s.StringV)), v*part/s.StringV, "V")
			}
		}
	}
	return v
}
