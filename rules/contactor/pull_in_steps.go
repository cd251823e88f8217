package contactor

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// steps adds where the voltage of the source is lost on the way to the coil, so
// that it can be added up by hand: each resistance of the path with its current.
func (w pullIn) steps(c *rules.Check, p *rules.Pass, d device) {
	volts := w.explainSource(c, p)
	formula, numbers := "V_s - sum of dV", rules.Term(volts)
	for _, e := range w.feed.path {
		if e.Kind == circuit.BatteryEdge {
			more := math.Abs(w.state.V(e.From) - w.state.V(e.To))
			c.Solved("V_"+e.Part, "voltage of "+e.Part+", in series with the source", more, "V", w.state.Case.String())
			formula, numbers = "V_s + batteries in series - sum of dV", numbers+" + "+rules.Term(more)
			continue
		}
		if drop := dropOf(w.state, e); drop > 0 {
			w.explainDrop(c, p, e, drop)
			numbers += " - " + rules.Term(drop) + " (" + e.ID + ")"
		}
	}
	c.Calc("V_c", "voltage at the coil of "+d.id, formula, numbers, w.v, "V")
	w.explainCoil(c, p, d)
}

// explainSource adds the voltage at the source of the feed.
func (w pullIn) explainSource(c *rules.Check, p *rules.Pass) float64 {
	source, ref := w.feed.source, w.state.Case.String()
	volts := w.sourceV()
	b, ok := p.Spec.Batteries[source.ID]
	if !ok {
		return c.Solved("V_s", "voltage at "+source.ID, volts, "V", ref)
	}
	ohm, known := p.Circuit.BatteryResistanceIn(w.state.Case.Mode, b, w.state.Case.Resistance)
	amperes := -w.state.Current(source.ID)
	if !known || math.Abs(b.MinV-amperes*ohm-volts) > 1e-6*volts {
		return c.Solved("V_s", "voltage at "+source.ID, volts, "V", ref)
	}
	c.Given("V_min", "lowest voltage of "+source.ID, b.MinV, "V", b.Path()+".min_V")
	// The resistance is known, as was seen above.
	_, _ = demand.BatteryResistance(p, c.Working, source.ID, w.state.Case.Resistance)
	c.Solved("I_s", "current of "+source.ID+", with all else that is on", amperes, "A", ref)
	return c.Calc("V_s", "voltage at "+source.ID, "V_min - I_s R_b", fmt.Sprintf("%s - %s * %s/1000", rules.Term(b.MinV), rules.Term(amperes), rules.Term(1000*ohm)), volts, "V")
}

// explainDrop adds the drop of one element of the path.
func (w pullIn) explainDrop(c *rules.Check, p *rules.Pass, e *circuit.Edge, drop float64) {
	amperes := math.Abs(w.state.Current(e.ID))
	if d, ok := p.Spec.Diodes[e.Part]; ok {
		v := c.Or("V_f", "forward voltage of "+e.Part, d.ForwardV, "V", d.Path()+".forward_V", p.Spec.Policy.DiodeForwardV, "policy.diode_forward_V")
		at, path := d.ForwardAtA, d.Path()+".forward_at_A"
		if !at.Known {
			at, path = d.ContinuousA, d.Path()+".continuous_A"
		}
		ampere := c.Or("I_f", "current at which that is stated", at, "A", path, 1, "1 A, common practice")
		c.Calc("dV", "drop in "+e.ID+" at its current, silicon", "V_f + 0.045 V ln(I / I_f)",
			fmt.Sprintf("%s + 0.045 * ln(%s / %s)", rules.Term(v), rules.Term(amperes), rules.Term(ampere)), drop, "V")
		return
	}
	r, ok := capacity.ResistanceOf(p, e, p.Spec.Vehicle.AmbientC.Max)
	if !ok {
		c.Solved("dV", "drop in "+e.ID, drop, "V", w.state.Case.String())
		return
	}
	mOhm := r.Explain(c.Working, "R")
	c.Calc("dV", "drop in "+e.ID+", I R", "", rules.Term(amperes)+" * "+rules.Term(mOhm)+"/1000", drop, "V")
}

// explainCoil adds what the coil draws at its voltage, which the currents of its
// path hold.
func (w pullIn) explainCoil(c *rules.Check, p *rules.Pass, d device) {
	what := "current of the coil while it pulls in, part of the currents above"
	amperes := math.Abs(w.state.Current(d.id + ".coil"))
	switch {
	case unknownCurrent(d) != "":
	case regulated(d.coil):
		c.Given("I_pickup", "pick-up current of the coil at its nominal voltage", d.coil.PickupA.Value, "A", d.coilPath("pickup_A"))
		c.Given("V_n", "nominal coil voltage", d.coil.NominalV, "V", d.coilPath("nominal_V"))
		c.Calc("I_c", what, "I_pickup V_c / V_n", fmt.Sprintf("%s * %s / %s", rules.Term(d.coil.PickupA.Value), rules.Term(w.v), rules.Term(d.coil.NominalV)), amperes, "A")
	default:
		heat := p.Circuit.CoilTemperature(d.id, circuit.CoilHot)
		if d.operateHolds(heat) {
			hotSteps(c, p, d) // not in the working yet
		}
		cold := c.Given("R_20", "resistance of the coil at 20 C", d.coil.ResistanceOhm.Value, "Ohm", d.coilPath("resistance_Ohm"))
		hot := c.Line("R_c", "resistance of the hot coil", calc.AtTemperature("R_20", cold, "Ohm", heat.C))
		c.Calc("I_c", what, "V_c / R_c", rules.Term(w.v)+" / "+rules.Term(hot), amperes, "A")
	}
}
