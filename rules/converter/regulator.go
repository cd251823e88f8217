package converter

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// regulator is a source that holds a set voltage on the batteries of its network, and
// so is their charger.
type regulator struct {
	id         string
	path       string // of the part
	setPath    string // of the voltage
	setV       float64
	tolerance  schema.Number // percent
	tolerPath  string
	compMVPerK schema.Number // of the whole output
	compPath   string
	out        *circuit.Edge
}

// regulators lists those that are wired, by id.
func regulators(p *rules.Pass) (out []regulator) {
	for _, v := range wired(p) {
		path := v.Path() + ".output."
		out = append(out, regulator{id: v.ID, path: v.Path(), setPath: path + "nominal_V", setV: v.Output.NominalV,
			tolerance: v.Output.TolerancePercent, tolerPath: path + "tolerance_percent",
			compMVPerK: v.Output.CompensationMVPerK, compPath: path + "compensation_mV_per_K", out: p.Circuit.Edge(v.ID + ".out")})
	}
	for id, v := range schema.Sorted(p.Spec.Solar) {
		if v.Spare || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") {
			continue
		}
		path := v.Path() + ".regulator."
		out = append(out, regulator{id: id, path: v.Path(), setPath: path + "output_V", setV: v.Regulator.OutputV,
			tolerance: v.Regulator.TolerancePercent, tolerPath: path + "tolerance_percent",
			compMVPerK: v.Regulator.CompensationMVPerK, compPath: path + "compensation_mV_per_K", out: p.Circuit.Edge(id)})
	}
	return out
}

// floating is a string of batteries and the regulators that charge it.
type floating struct {
	circuit.SeriesString
	by []regulator
}

// floats lists the strings that a regulator charges, each with those that do.
func floats(p *rules.Pass) (out []floating) {
	all := regulators(p)
	for _, s := range p.Circuit.Strings() {
		f := floating{SeriesString: s}
		for _, r := range all {
			if p.Circuit.Charges(r.out, s) {
				f.by = append(f.by, r)
			}
		}
		if len(f.by) > 0 {
			out = append(out, f)
		}
	}
	return out
}

// diodeV is the least voltage that a diode between a regulator and a battery takes
// while hardly any current flows (common practice: a warm Schottky diode).
const diodeV = 0.2

// setting is what a regulator holds at the battery: its set voltage with a tolerance,
// the sign of which says to which side, less that of a diode on the way.
func (f floating) setting(c *rules.Check, p *rules.Pass, r regulator, sign float64) float64 {
	v := c.Given("V_set", "output voltage of "+r.id, r.setV, "V", r.setPath)
	if r.tolerance.Known {
		tol := c.Given("t", "tolerance of it", r.tolerance.Value, "%", r.tolerPath)
		word := map[bool]string{true: "highest", false: "lowest"}[sign > 0]
		v = c.Calc("V_"+word, word+" output voltage", "V_set (1 + t)", rules.Term(v)+" * (1 + "+rules.Term(sign*tol)+"/100)", v*(1+sign*tol/100), "V")
	}
	if !p.Circuit.MetalJoins(r.out.From, f.Pos()) || !p.Circuit.MetalJoins(r.out.To, f.Neg()) {
		drop := c.Default("V_d", "what the diode on the way takes at least", diodeV, "V", "common practice")
		v = c.Calc("V_b", "voltage at the battery", "V - V_d", rules.Term(v)+" - "+rules.Term(drop), v-drop, "V")
	}
	return v
}

// cells is the number of cells of a string of one chemistry, and that chemistry and
// construction; not known where a battery states neither cells nor voltages that
// speak of one number. The working is told how it comes about if there is one.
func (f floating) cells(c *rules.Check, p *rules.Pass) (n int, window calc.ChargeWindow, ok bool) {
	first := p.Spec.Batteries[f.SeriesString[0].ID]
	window, ok = calc.ChargeVoltages(first.Chemistry, construction(p, f))
	if !ok {
		return 0, window, false
	}
	for _, s := range f.SeriesString {
		b := p.Spec.Batteries[s.ID]
		own, known := calc.Cells(b.Chemistry, b.NominalV, b.MaxV)
		if b.Series.Known {
			own, known = int(b.Series.Value), true
		}
		if !known || b.Chemistry != first.Chemistry {
			return 0, window, false
		}
		n += own
	}
	if c == nil {
		return n, window, true
	}
	c.GivenText("chemistry", "chemistry of "+first.ID, first.Chemistry, first.Path()+".chemistry")
	for _, s := range f.SeriesString {
		b := p.Spec.Batteries[s.ID]
		if b.Series.Known {
			c.Given("n_"+b.ID, "cells in series of "+b.ID, b.Series.Value, "", b.Path()+".series")
			continue
		}
		own, _ := calc.Cells(b.Chemistry, b.NominalV, b.MaxV)
		c.Derived("n_"+b.ID, "cells in series of "+b.ID+", by its nominal voltage and end of charge", "", rules.Term(b.NominalV)+" V, "+rules.Term(b.MaxV)+" V", float64(own), "", b.Path()+".nominal_V")
	}
	return n, window, true
}

// construction is how the lead-acid batteries of a string are built, if all are alike.
func construction(p *rules.Pass, f floating) string {
	kind := p.Spec.Batteries[f.SeriesString[0].ID].LeadAcid
	if slices.ContainsFunc(f.SeriesString, func(s circuit.Source) bool { return p.Spec.Batteries[s.ID].LeadAcid != kind }) {
		return ""
	}
	return kind
}

// hottest is the air at a string in the hottest of the modes in which a regulator
// works; of one that works in none, in the hottest there is.
func (f floating) hottest(p *rules.Pass, r regulator) capacity.Air {
	base := &p.Spec.Batteries[f.SeriesString[0].ID].Base
	var hottest *capacity.Air
	for mode, m := range schema.Sorted(p.Spec.Modes) {
		if s := p.Circuit.Solve(demand.Nominal(mode)); p.Spec.Converters[r.id] != nil && !runs(s, r.id) {
			continue
		}
		if air := capacity.AirAt(p, base, m); hottest == nil || air.C() > hottest.C() {
			hottest = &air
		}
	}
	if hottest == nil {
		return capacity.AirAt(p, base, nil)
	}
	return *hottest
}

// atTemperature is what a regulator holds in air of a temperature: a voltage at 25 C,
// moved by its compensation.
func (r regulator) atTemperature(c *rules.Check, v, tempC float64) float64 {
	if r.compMVPerK.Or(0) == 0 {
		return v
	}
	k := c.Given("k_out", "how the output follows the battery's temperature", r.compMVPerK.Value, "mV/K", r.compPath)
	return c.Calc("V_T", "output voltage at that temperature", "V + k_out (T_a - 25)", rules.Term(v)+" + "+rules.Term(k)+"/1000 * ("+rules.Term(tempC)+" - 25)", v+k/1000*(tempC-25), "V")
}
