package contactor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// row is a row of diodes and resistors across a coil, from its positive to its
// negative end.
type row struct {
	chain     circuit.Chain
	diodes    []*schema.Diode
	resistors []*schema.Resistor
}

// rows lists the rows across a device's coil.
func (d device) rows(p *rules.Pass) []row {
	pos, neg := d.sides(p)
	var out []row
	for _, chain := range p.Circuit.Chains(pos, neg) {
		r := row{chain: chain}
		for _, e := range chain.Parts {
			if diode, ok := p.Spec.Diodes[e.Part]; ok {
				r.diodes = append(r.diodes, diode)
			} else {
				r.resistors = append(r.resistors, p.Spec.Resistors[e.Part])
			}
		}
		out = append(out, r)
	}
	return out
}

// kind names what the row is in the words of a coil's own suppression.
func (r *row) kind() string {
	switch {
	case len(r.resistors) == 0:
		return "diode"
	case len(r.diodes) == 0:
		return "resistor"
	}
	return "diode+resistor"
}

func (r *row) ids() []string {
	ids := make([]string, len(r.chain.Parts))
	for i, e := range r.chain.Parts {
		ids[i] = e.Part
	}
	return ids
}

// names lists its parts for a message, diodes first.
func (r *row) names() string {
	var ids []string
	for _, x := range r.diodes {
		ids = append(ids, x.ID)
	}
	for _, x := range r.resistors {
		ids = append(ids, x.ID)
	}
	return strings.Join(ids, " in series with ")
}

// resistorNames lists its resistors.
func (r *row) resistorNames() string {
	var ids []string
	for _, x := range r.resistors {
		ids = append(ids, x.ID)
	}
	return rules.And(ids)
}

// path is that of its first diode, or resistor if it has none.
func (r *row) path() string {
	if len(r.diodes) > 0 {
		return r.diodes[0].Path()
	}
	return r.resistors[0].Path()
}

// ohm is the resistance of the row in Ohm, without its diodes.
func (r *row) ohm() float64 {
	var sum float64
	for _, x := range r.resistors {
		sum += x.ResistanceOhm
	}
	return sum
}

// forwardV is the drop of its diodes in V, and where that is from.
func (r *row) forwardV(p *rules.Pass) (v float64, from string) {
	for _, x := range r.diodes {
		v += x.ForwardV.Or(p.Spec.Policy.DiodeForwardV)
		switch {
		case from != "":
		case x.ForwardV.Known:
			from = x.Path() + ".forward_V"
		default:
			from = "policy.diode_forward_V"
		}
	}
	return v, from
}

// forwardSteps adds forwardV, where the row has diodes, to the working.
func (r *row) forwardSteps(c *rules.Check, p *rules.Pass) float64 {
	v, from := r.forwardV(p)
	switch {
	case from == "":
	case strings.HasPrefix(from, "policy."):
		c.Default("V_f", "forward voltage of the diodes of "+r.names(), v, "V", from)
	default:
		c.Given("V_f", "forward voltage of the diodes of "+r.names(), v, "V", from)
	}
	return v
}

// clampV is the voltage of the row at the instant at which a coil is switched
// off: that of its diodes, and what the coil's current, which flows on through
// it, drops in its resistors. It is not known without the coil's resistance;
// from is then the path of that.
func (r *row) clampV(p *rules.Pass, d device) (volts schema.Number, from string) {
	forward, from := r.forwardV(p)
	if len(r.resistors) == 0 {
		return schema.Some(forward), from
	}
	supply, _, failed := d.highestV(p)
	amperes, missing := d.switchedOffA(p, supply)
	if failed != nil || missing != "" {
		return schema.Number{}, missing
	}
	return schema.Some(forward + amperes*r.ohm()), r.resistors[0].Path() + ".resistance_Ohm"
}

// switchedOffA is the current that the device's coil, and those in parallel with
// it, carry at a voltage when they are cold, which is when it is greatest.
// Missing is the path of what it depends on and the spec does not give.
func (d device) switchedOffA(p *rules.Pass, volts float64) (amperes float64, missing string) {
	for _, k := range d.parallel(p) {
		if path := unknownCurrent(k); path != "" {
			return 0, path
		}
		if regulated(k.coil) {
			amperes += k.coil.PickupA.Value
			continue
		}
		amperes += volts / k.coldOhm(p)
	}
	return amperes, ""
}

// coldOhm is the resistance in Ohm of a coil, which must be given, at the lowest
// ambient.
func (d device) coldOhm(p *rules.Pass) float64 {
	return d.coil.ResistanceOhm.Value * calc.CopperFactor(p.Circuit.CoilTemperature(d.id, circuit.CoilCold).C)
}

// steps adds the voltage of a row with a resistor, which must be known, to the
// working, from the voltage of the coil before it is switched off.
func (r *row) steps(c *rules.Check, p *rules.Pass, d device, volts float64) float64 {
	forward := r.forwardSteps(c, p)
	var sum float64
	var terms []string
	for _, k := range d.parallel(p) {
		var a float64
		if regulated(k.coil) {
			a = c.Given("I_L", "current of the coil of "+k.id+", at the most", k.coil.PickupA.Value, "A", k.coilPath("pickup_A"))
		} else {
			cold := c.Given("T_c", "lowest ambient, where the coil draws most", p.Circuit.CoilTemperature(k.id, circuit.CoilCold).C, "C", "vehicle.ambient_C.min")
			ohm := c.Given("R_20", "resistance of the coil of "+k.id+" at 20 C", k.coil.ResistanceOhm.Value, "Ohm", k.coilPath("resistance_Ohm"))
			a = c.Line("I_L", "current of the cold coil of "+k.id+", which flows on", calc.CopperCurrent(volts, ohm, cold))
		}
		sum += a
		terms = append(terms, rules.Term(a))
	}
	if len(terms) > 1 {
		c.Calc("I_L", "current of the coils in parallel", "sum of I_L", strings.Join(terms, " + "), sum, "A")
	}
	for _, x := range r.resistors {
		c.Given("R", "resistance of "+x.ID, x.ResistanceOhm, "Ohm", x.Path()+".resistance_Ohm")
	}
	formula, numbers := "I_L R", rules.Term(sum)+" * "+rules.Term(r.ohm())
	if len(r.diodes) > 0 {
		formula, numbers = formula+" + V_f", numbers+" + "+rules.Term(forward)
	}
	return c.Calc("V_clamp", "voltage of "+r.names()+" at the first instant", formula, numbers, sum*r.ohm()+forward, "V")
}

// reversed lists the rows that conduct across a coil in the direction of its
// supply. One with a resistor in it is none if something else absorbs the coil's
// energy: it may be there to light.
func (d device) reversed(p *rules.Pass) []row {
	clamped := len(d.clamps(p)) > 0
	return slices.DeleteFunc(d.rows(p), func(r row) bool {
		return len(r.diodes) == 0 || !r.chain.Forward || len(r.resistors) > 0 && clamped
	})
}
